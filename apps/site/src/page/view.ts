import type { Problem } from '@fillwright/core/errors';
import { BLOCKS, displayOf, type HoseState, LANGUAGES, REVIEWED } from '@fillwright/core/island';
import { formatVolume, type VolumeUnit, volumeOfPulses, type ZoneTable } from '@fillwright/core/units';
import type { Membership } from '../box/identity.ts';
import type { Checked } from '../bundles/check.ts';
import type { ReportFacts } from '../office/report.ts';
import { stateOf } from '../office/report.ts';
import type { Run } from '../runner/run.ts';
import { localTime, type Screen } from '../runner/screens.ts';
import type { LessonView } from './lessons.ts';

/** Everything that the terminal's page shows. */
export interface SiteView {
  readonly name: string;
  readonly practice: boolean;
  /** Whom a learner may be, in words, and what may go wrong; a practice yard only. */
  readonly hint: string | null;
  readonly lessons: readonly LessonView[];
  /** Whether there are hands to lift and hang nozzles: a simulated yard. */
  readonly simulated: boolean;
  readonly link: 'up' | 'down' | 'none';
  readonly running: number | null;
  readonly waiting: number | null;
  readonly refused: { readonly revision: number; readonly code: string; readonly cause: string } | null;
  readonly stale: boolean;
  readonly cutOff: boolean;
  readonly unsent: number;
  /** What a person must see to, in words. */
  readonly troubles: readonly string[];
  readonly eStop: { readonly pressed: boolean; readonly holds: boolean };
  readonly terminals: readonly TerminalView[];
  readonly hoses: readonly HoseView[];
  readonly cards: readonly { readonly number: string; readonly words: string }[];
}

export interface TerminalView extends Screen {
  readonly id: string;
  readonly name: string;
  readonly columns: number;
  readonly rows: number;
  readonly paperColumns: number | null;
  /** That a driver may choose here. */
  readonly languages: readonly { readonly id: string; readonly name: string; readonly reviewed: boolean }[];
  /** Fills from here that can be printed again, newest first; nobody is named. */
  readonly receipts: readonly ReceiptView[];
}

export interface ReceiptView {
  readonly fill: string;
  /** By the site's own clock on the wall. */
  readonly day: string;
  readonly time: string;
  readonly hose: number;
  readonly quantity: string;
}

export interface HoseView {
  readonly id: string;
  readonly number: number;
  readonly product: string;
  readonly state: string;
  /** free, claimed, ready, flowing, stopped: the lamp, told by shape and word as well as by colour. */
  readonly lamp: 'free' | 'claimed' | 'ready' | 'flowing' | 'stopped';
  readonly words: string;
  /** Blocks that a person who has looked may lift. */
  readonly liftable: readonly string[];
  readonly nozzleOut: boolean;
  /** Taken out of service by somebody here, or by the release. */
  readonly outBy: 'hand' | 'release' | null;
  /** Of the running fill. */
  readonly quantity: string | null;
  readonly limit: string | null;
}

export interface ViewFacts {
  readonly facts: ReportFacts;
  readonly membership: Membership;
  readonly practice: boolean;
  readonly hint?: string;
  readonly pinOf?: (driver: string) => string;
  readonly lessons: readonly LessonView[];
  readonly run: Run | undefined;
  readonly checked: Checked | undefined;
  readonly refusal: Problem | undefined;
  readonly clockInDoubt: boolean;
  readonly up: boolean;
}

const MOST_CARDS = 60;
const DAY_MS = 86_400_000;

export function viewOf(v: ViewFacts): SiteView {
  const { facts, run, checked, practice } = v;
  const state = stateOf(facts, 'here');
  const hands = run?.hands !== undefined;
  return {
    name: run?.state.plan.siteName ?? v.membership.name,
    practice,
    hint: v.hint ?? null,
    lessons: v.lessons,
    simulated: hands,
    link: practice ? (state.cutOff ? 'down' : 'none') : v.up ? 'up' : 'down',
    running: state.running,
    waiting: facts.shelf.waiting,
    refused: state.refused,
    stale: state.stale,
    cutOff: state.cutOff,
    unsent: state.unsent,
    troubles: troublesOf(v, state.stale),
    eStop: { pressed: run?.state.eStop ?? false, holds: run?.state.holds.includes('eStop') ?? false },
    terminals: run ? terminalsOf(run, nobodyServed(v), zoneOf(v), facts.at) : [],
    hoses: run ? Object.entries(run.state.hoses).map(([id, h]) => hoseView(run, id, h)) : [],
    // Cards lie about only where nothing can flow.
    cards: hands && checked ? cardsOf(checked, v.pinOf) : [],
  };
}

const nobodyServed = (v: ViewFacts) => (v.refusal ? 'journal' : v.clockInDoubt ? 'clock' : undefined);

const zoneOf = ({ run, checked }: ViewFacts) => checked?.policy.sites.get(run?.state.plan.site ?? '')?.zone;

function receiptsAt(run: Run, terminal: string, zone: ZoneTable | undefined, now: number): ReceiptView[] {
  const { paper, receiptDays } = run.state.plan.terminals[terminal] ?? { paper: null, receiptDays: 0 };
  if (paper === null) return [];
  const kept = (run.state.sessions[terminal]?.receipts ?? []).filter((r) => now - r.at <= receiptDays * DAY_MS);
  return kept.map((r) => {
    const [day = '', time = ''] = localTime(r.at, zone).split(' ');
    return { fill: r.fill, day, time, hose: r.hose, quantity: `${formatVolume(r.ul, r.unit, 2)} ${r.unit}` };
  });
}

function terminalsOf(run: Run, out: string | undefined, zone: ZoneTable | undefined, now: number): TerminalView[] {
  return Object.values(run.state.plan.terminals).map((t) => {
    const screen = run.screens.of(t.id);
    const { id, name, columns, rows, paper: paperColumns } = t;
    const receipts = receiptsAt(run, id, zone, now);
    const languages = t.languages.map((l) => ({ id: l, name: LANGUAGES[l], reviewed: REVIEWED[l] }));
    const own = { id, name, columns, rows, paperColumns, languages, receipts, ...screen };
    if (!out || screen.screen !== 'idle') return own;
    const laid = displayOf('out', run.state.sessions[t.id]?.language ?? 'en', { why: out }, t);
    return { ...own, screen: 'out', sentence: laid.lines.join(' ').trim(), lines: laid.lines };
  });
}

const LAMPS: Readonly<Record<HoseState['name'], HoseView['lamp']>> = {
  idle: 'free',
  claimed: 'claimed',
  recording: 'claimed',
  arming: 'claimed',
  armed: 'ready',
  lifted: 'ready',
  flowing: 'flowing',
  slowing: 'flowing',
  stopping: 'claimed',
  closing: 'claimed',
  blocked: 'stopped',
};
const LAMP_WORDS: Readonly<Record<HoseView['lamp'], string>> = {
  free: 'free',
  claimed: 'one moment',
  ready: 'ready',
  flowing: 'flowing',
  stopped: 'stopped',
};

function hoseView(run: Run, id: string, h: HoseState): HoseView {
  const plan = run.state.plan.hoses[id];
  const lamp = LAMPS[h.name];
  const text = (ul: number, unit: VolumeUnit, places: 1 | 2) => `${formatVolume(ul, unit, places)} ${unit}`;
  const blocks = h.blocks.map((b) => BLOCKS[b].words);
  return {
    id,
    number: plan?.number ?? 0,
    product: plan?.productName ?? '',
    state: h.name,
    lamp,
    words: blocks.length > 0 ? blocks.join(', ') : LAMP_WORDS[lamp],
    liftable: h.blocks.filter((b) => BLOCKS[b].lifted === 'person' && b !== 'eStop'),
    nozzleOut: h.nozzleOut,
    outBy: h.blocks.includes('service') ? (plan?.active ? 'hand' : 'release') : null,
    quantity: h.fill ? text(volumeOfPulses(h.fill.pulses, h.fill.pulsesPerMeasure, h.fill.unit), h.fill.unit, 2) : null,
    limit: h.fill ? text(h.fill.grant.decision.limit, h.fill.unit, 1) : null,
  };
}

function troublesOf(v: ViewFacts, stale: boolean): string[] {
  const troubles: string[] = [];
  const tell = (p: { code: string; cause: string; mend: string }) => troubles.push(`${p.code} ${p.cause} ${p.mend}`);
  if (v.refusal) tell(v.refusal);
  if (v.clockInDoubt)
    troubles.push('FW-604 The clock of this box cannot be right. Nobody is served until the office has told the time.');
  if (!v.run) troubles.push('FW-603 This box has no bundle to run. It waits for the first release.');
  if (stale)
    troubles.push('What this site runs is past its date. It goes on with it; the office should release again.');
  if (v.facts.cutOff)
    troubles.push('The office has not been heard for a while. The site goes on; allowances say what holds meanwhile.');
  const { refused } = v.facts.shelf;
  if (refused) troubles.push(`Release ${refused.revision} was not taken: ${refused.code} ${refused.cause}`);
  return troubles;
}

function cardsOf({ fleet }: Checked, pinOf?: (driver: string) => string): { number: string; words: string }[] {
  const cards = [...fleet.credentials.values()].slice(0, MOST_CARDS);
  return cards.map((c) => {
    const driver = c.driver === null ? undefined : fleet.drivers.get(c.driver)?.name;
    const vehicle = c.vehicle === null ? undefined : fleet.vehicles.get(c.vehicle)?.name;
    const of = [driver, vehicle].filter((n) => n !== undefined && n !== '').join(', ') || 'nobody';
    const pin = pinOf && c.driver !== null ? `, PIN ${pinOf(c.driver)}` : '';
    return { number: c.number, words: `${of}${pin}${c.stopped ? ' (stopped)' : ''}` };
  });
}
