import { nameOf, RULES } from '../../decide/index.ts';
import { type Expectation, type Fleet, formatWindow, type TableName, unitOf, volumeWords } from '../../fleet/index.ts';
import { formatDate, formatMinute, weekdayOf } from '../../units/index.ts';
import { type Subject, subjectOf, type Unread } from './sentence.ts';
import type { Counterexample, Verdict } from './verdict.ts';

const TABLE: Readonly<Partial<Record<Subject, TableName>>> = {
  driver: 'drivers',
  vehicle: 'vehicles',
  costCentre: 'costCentres',
};

const volume = (fleet: Fleet, microlitres: number): string => volumeWords(microlitres, unitOf(fleet.settings));

/** 'Nobody but Streets can draw at least 40 gal of diesel at North, Mon-Fri 22:00-05:00.' */
export function sentenceWords(fleet: Fleet, e: Expectation): string {
  const { subject, others } = subjectOf(e.who);
  const table = TABLE[subject];
  const name = table ? nameOf(fleet, table, e.whoName) : e.whoName;
  const who = subject === 'everyone' ? 'everyone' : name === '' ? '…' : name;
  const quantity = e.quantity === null ? '…' : volume(fleet, e.quantity);
  const product = e.product === null ? '' : nameOf(fleet, 'products', e.product);
  const must = {
    can: `can draw ${product || 'something'}`,
    never: `can never draw ${product || 'anything'}`,
    atLeast: `can draw at least ${quantity}${product && ` of ${product}`}`,
    atMost: `can draw at most ${quantity}${product && ` of ${product}`}`,
  }[e.must];
  const where = [
    e.hose === null ? '' : ` from ${nameOf(fleet, 'hoses', e.hose)}`,
    e.site === null ? '' : ` at ${nameOf(fleet, 'sites', e.site)}`,
  ].join('');
  const dates = [e.from === null ? '' : ` from ${e.from}`, e.until === null ? '' : ` until ${e.until}`].join('');
  const when = e.times === null ? '' : `, ${e.times.map(formatWindow).join('; ')}`;
  const text = `${others ? `nobody but ${who}` : who} ${must}${where}${when}${dates && `,${dates}`}.`;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;

/** 'Ana Voss with Van 4 may draw 40 gal of diesel from hose 2 at North on Monday 2026-11-30 at 06:00.' */
export function counterexampleWords(fleet: Fleet, c: Counterexample): string {
  const who = [
    c.driver === null ? [] : nameOf(fleet, 'drivers', c.driver),
    c.vehicle === null ? [] : nameOf(fleet, 'vehicles', c.vehicle),
  ].flat();
  const product = nameOf(fleet, 'products', fleet.hoses.get(c.hose)?.product ?? '');
  const may = c.limit === 0 ? `may not draw ${product}` : `may draw ${volume(fleet, c.limit)} of ${product}`;
  const where = `from ${nameOf(fleet, 'hoses', c.hose)} at ${nameOf(fleet, 'sites', c.site)}`;
  return `${who.join(' with ')} ${may} ${where} on ${DAYS[weekdayOf(c.day)]} ${formatDate(c.day)} at ${formatMinute(c.minute)}.`;
}

/** 'The most per fill, of Day crew': the rule that decided a counterexample, and the record to mend. */
export function ruleToMend(fleet: Fleet, { rule, mend }: Counterexample): string {
  const title = RULES[rule].title;
  return mend === null ? title : `${title}, of ${nameOf(fleet, mend.table as TableName, mend.id)}`;
}

/** Why an expectation cannot be read. */
export const UNREAD: Readonly<Record<Unread['why'], string>> = {
  'not-there': 'It speaks of something that is not in the fleet.',
  nobody: 'It speaks of nobody who is active.',
  'no-hose': 'No hose gives that there.',
  'no-quantity': 'It needs a quantity.',
  dates: 'It ends before it begins.',
  times: 'No minute is in its times.',
  'nobody-but': '“Nobody but” goes with “can draw” and “can draw at least” only.',
};

/** A verdict in one line. */
export function verdictWords(fleet: Fleet, v: Verdict): string {
  if (v.verdict === 'holds') return 'Holds';
  if (v.verdict === 'idle') return 'Asks nothing in the coming 90 days';
  if (v.verdict === 'unread') return `Cannot be read. ${UNREAD[v.why]}`;
  const among = v.failing ? ` So it is for ${v.failing.count} of ${v.failing.of}.` : '';
  return `Broken. ${counterexampleWords(fleet, v.counterexample)}${among} Rule: ${ruleToMend(fleet, v.counterexample)}.`;
}
