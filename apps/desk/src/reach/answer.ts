import { compile } from '@fillwright/core/decide';
import { type AnyRow, emptyFleet, type Fleet, fromJson } from '@fillwright/core/fleet';
import { Book, checkExpectations, differenceOf, reachTable } from '@fillwright/core/reach';
import { call } from '@fillwright/wire';
import { takePart } from '../data/findings-message.ts';
import { UTC, zoneKnown } from '../show/site-time.ts';
import { hereOf } from './here.ts';
import type { Ask, FromReach, ToReach } from './message.ts';
import { toldOf } from './told.ts';

/** Days that are looked at, today included. */
const DAYS = 365;
const rows: Record<string, Map<string, AnyRow>> = {};

/** Takes in one message; where something is asked, says how far it is and then the answer. */
export async function take({ settings, part, ask }: ToReach, say: (answer: FromReach) => void): Promise<void> {
  if (part) takePart(rows, part);
  if (!ask) return;
  const fleet = { ...emptyFleet(settings), ...rows } as unknown as Fleet;
  if (ask.kind === 'here') say({ kind: 'here', here: hereOf(tableOf(fleet, ask.today, new Book()), ask.place) });
  else if (ask.kind === 'expectations') say(expectationsOf(fleet, ask.today, say));
  else say(await changeOf(fleet, ask, say));
}

const tableOf = (fleet: Fleet, today: number, book: Book) =>
  reachTable(
    compile(fleet, (zone) => zoneKnown(zone) ?? UTC),
    [today, today + DAYS - 1],
    book,
  );

function expectationsOf(fleet: Fleet, today: number, say: (answer: FromReach) => void): FromReach {
  const steps = checkExpectations(tableOf(fleet, today, new Book()), [...fleet.expectations.values()]);
  for (;;) {
    const step = steps.next();
    if (step.done) return { kind: 'expectations', verdicts: step.value };
    say({ kind: 'progress', ...step.value });
  }
}

async function changeOf(
  fleet: Fleet,
  { since, today }: Extract<Ask, { kind: 'change' }>,
  say: (answer: FromReach) => void,
): Promise<FromReach> {
  const old = since === null ? { ok: true as const, value: emptyFleet(fleet.settings) } : await released(since);
  if (!old.ok) return { kind: 'failed', sentence: old.error };
  const book = new Book();
  const [before, after] = [tableOf(old.value, today, book), tableOf(fleet, today, book)];
  const running = differenceOf(before, after);
  let said = -1;
  for (;;) {
    const step = running.next();
    if (step.done) return { kind: 'change', told: toldOf(step.value, before, after, since) };
    const { done, of } = step.value;
    const percent = Math.floor((done * 100) / Math.max(1, of));
    if (percent > said) say({ kind: 'progress', done, of });
    said = percent;
  }
}

async function released(number: number) {
  const here = { base: '', fetch: (input: RequestInfo | URL, init?: RequestInit) => fetch(input, init) };
  const asked = await call(here, 'fleet', { query: { which: String(number) } });
  const cannot = (cause: string) => ({ ok: false as const, error: `Release ${number} could not be read: ${cause}` });
  if (!asked.ok) return cannot(asked.error.problem.cause);
  const read = fromJson(asked.value.fleet);
  return read.ok ? read : cannot(read.error[0]?.cause ?? '');
}
