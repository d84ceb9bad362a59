import { nameOf, type Policy, RULES, volumeText } from '../decide/index.ts';
import type { Fleet, Hose } from '../fleet/index.ts';
import { type Presentation, presentationsFor, UNKNOWN } from './presentations.ts';

/** What in the journal proves a step, without anybody's word. */
export type Seen =
  | { readonly by: 'runs'; readonly release: number }
  | {
      readonly by: 'let in';
      readonly terminal: string;
      readonly hose: string;
      readonly driver: string | null;
      readonly vehicle: string | null;
      readonly limit: number;
    }
  | {
      readonly by: 'turned away';
      readonly terminal: string;
      readonly credentials: readonly string[];
      readonly rule: string;
    }
  /** Stopped by itself at the limit, at most one pulse over it. */
  | { readonly by: 'limit'; readonly hose: string }
  | { readonly by: 'ended'; readonly hose: string; readonly reason: string }
  | { readonly by: 'e-stop' }
  | { readonly by: 'reset' }
  | { readonly by: 'gauge'; readonly tank: string }
  /** A proving run of the hose that passes, kept since the worksheet was made. */
  | { readonly by: 'proof'; readonly hose: string };

export const PARTS = {
  safety: 'Before anything flows',
  start: 'What runs',
  access: 'Who is let in and who is turned away',
  hose: 'Hoses',
  terminal: 'Terminals',
  tank: 'Tanks',
  meter: 'Meters',
  stop: 'Emergency stop',
  handOver: 'Hand over',
} as const;
export type StepPart = keyof typeof PARTS;

export interface Step {
  /** Stable within the worksheet. */
  readonly id: string;
  readonly part: StepPart;
  /** What to do. */
  readonly act: string;
  /** What must come of it. */
  readonly expect: string;
  /** Null: a person says whether it came out so. */
  readonly seen: Seen | null;
  /** Who must do it, where not everybody may. */
  readonly who: string | null;
  /** Leads somebody to a dispenser, tank or panel. */
  readonly caution: boolean;
}

export interface Worksheet {
  readonly site: string;
  readonly release: number;
  /** Milliseconds UTC for which the presentations hold. */
  readonly at: number;
  readonly steps: readonly Step[];
  /** Credentials to have at hand, in words. */
  readonly bring: readonly string[];
  readonly fewest: boolean;
  /** What cannot be shown at that moment, in words: try it on the bench. */
  readonly notNow: readonly string[];
}

const ELECTRICIAN = 'licensed electrician';
const TANK = 'tank contractor';
const AGENT = 'registered service agent, where the meter is sealed';

/** Common practice, no source: what is looked at before fuel flows. Local codes come first. */
const SAFETY: readonly (readonly [id: string, act: string, expect: string, who: string | null])[] = [
  ['isolate', 'Isolate and lock out whatever is worked on.', 'Locked and tagged; tried dead.', ELECTRICIAN],
  ['ignition', 'Look round for ignition sources.', 'None within the hazardous area; no smoking, engines off.', null],
  ['bond', 'Look at bonding and grounding of dispensers, tanks and prover.', 'Continuous and tight.', ELECTRICIAN],
  ['spill', 'Find spill kit and fire extinguisher.', 'At hand, full, in date.', null],
  ['traffic', 'Close the island to traffic.', 'Cones stand; nobody drives in while you work.', null],
  [
    'overfill',
    'Look at overfill device, leak detector and shear valves.',
    'In place, and their papers are here.',
    TANK,
  ],
];

/**
 * The worksheet of a site from a released fleet: what to try and what must happen. `at`: when it is meant to be done, milliseconds UTC; presentations
 * hold for that moment. Pure: the same release and moment give the same sheet. Every step is one press or none.
 */
export function worksheetOf(policy: Policy, site: string, release: number, at: number): Worksheet {
  const { fleet } = policy;
  const { chosen, fewest, notNow } = presentationsFor(policy, site, at);
  const hoses = [...fleet.hoses.values()]
    .filter((h) => h.site === site && h.active)
    .sort((a, b) => a.number - b.number);
  const terminals = [...fleet.terminals.values()].filter((t) => t.site === site);
  const tanks = [...fleet.tanks.values()].filter((t) => t.site === site);
  const step = (
    part: StepPart,
    id: string,
    act: string,
    expect: string,
    more: { seen?: Seen; who?: string | null; caution?: boolean } = {},
  ): Step => ({
    id: `${part} ${id}`,
    part,
    act,
    expect,
    seen: more.seen ?? null,
    who: more.who ?? null,
    caution: more.caution ?? false,
  });
  const steps: Step[] = [
    ...SAFETY.map(([id, act, expect, who]) => step('safety', id, act, expect, { who, caution: true })),
    step('start', 'runs', 'Look at the box.', `It says that it runs release ${release}.`, {
      seen: { by: 'runs', release },
    }),
    step(
      'stop',
      'press',
      'Arm a hose, then press each emergency stop in turn, resetting between.',
      'Every hose stops and stays stopped.',
      {
        seen: { by: 'e-stop' },
        caution: true,
      },
    ),
    step('stop', 'all', 'Watch the pumps while it is pressed.', 'All power to pumps and dispensers is off.', {
      who: ELECTRICIAN,
      caution: true,
    }),
    step('stop', 'reset', 'Reset the emergency stop and lift the block.', 'Hoses may be armed again, and not before.', {
      seen: { by: 'reset' },
    }),
    ...chosen.map((p, n) => access(fleet, p, n, step)),
    ...hoses.flatMap((h) => hoseSteps(fleet, h, chosen, step)),
    ...timerSteps(hoses, step),
    ...terminals.flatMap((t) => [
      step(
        'terminal',
        `display ${t.id}`,
        `${t.name}: read the idle screen and one whole session.`,
        `${t.rows} lines of ${t.columns}: nothing is cut off.`,
      ),
      ...(t.paper === null
        ? []
        : [
            step(
              'terminal',
              `receipt ${t.id}`,
              `${t.name}: print a receipt.`,
              `${t.paper} columns: hose, product, volume and date are right.`,
            ),
          ]),
    ]),
    ...tanks.flatMap((t) => [
      step('tank', `gauge ${t.id}`, `${t.name}: let the gauge read.`, 'A level comes.', {
        seen: { by: 'gauge', tank: t.id },
      }),
      step(
        'tank',
        `stick ${t.id}`,
        `${t.name}: measure with a stick and compare.`,
        'Stick and gauge agree within an eighth of an inch, 3 mm.',
        {
          who: TANK,
          caution: true,
        },
      ),
    ]),
    ...hoses.map((h) =>
      step('meter', `proof ${h.id}`, `Hose ${h.number}: prove the meter (page Proving).`, 'Full and slow flow pass.', {
        seen: { by: 'proof', hose: h.id },
        who: AGENT,
        caution: true,
      }),
    ),
    step('handOver', 'told', 'Show the customer: emergency stop, spill kit, who to call.', 'They have done each once.'),
  ];
  const bring = [...new Set(chosen.flatMap((p) => p.credentials))].map((id) => cardWords(fleet, id));
  return { site, release, at, steps, bring, fewest, notNow: notNow.map((key) => notNowWords(fleet, key)) };
}

type Make = (
  part: StepPart,
  id: string,
  act: string,
  expect: string,
  more?: { seen?: Seen; who?: string | null; caution?: boolean },
) => Step;

export function cardWords(fleet: Fleet, id: string): string {
  if (id === UNKNOWN) return 'a card that is not in the roster';
  const c = fleet.credentials.get(id);
  if (!c) return id;
  const of = [c.driver && nameOf(fleet, 'drivers', c.driver), c.vehicle && nameOf(fleet, 'vehicles', c.vehicle)];
  return `${c.kind === 'keyed' ? 'keyed number' : c.kind} ending ${c.number.slice(-4)} (${of.filter(Boolean).join(' with ') || 'nobody'})`;
}

function access(fleet: Fleet, p: Presentation, n: number, step: Make): Step {
  const hose = fleet.hoses.get(p.hose);
  const cards = p.credentials.map((id) => cardWords(fleet, id)).join(', then ');
  const wrong = p.wrongPin
    ? ' Key a wrong PIN.'
    : p.wrongAnswer === null
      ? ''
      : ` Answer “${fleet.questions.get(p.wrongAnswer)?.prompt ?? p.wrongAnswer}” wrong.`;
  const act = `${nameOf(fleet, 'terminals', p.terminal)}, hose ${hose?.number ?? p.hose}: present ${cards}.${wrong}`;
  if (p.limit > 0)
    return step(
      'access',
      `${n + 1}`,
      act,
      `Let in, up to ${volumeText(fleet, p.limit)}, when nothing was drawn before.`,
      {
        seen: {
          by: 'let in',
          terminal: p.terminal,
          hose: p.hose,
          driver: p.driver,
          vehicle: p.vehicle,
          limit: p.limit,
        },
      },
    );
  return step('access', `${n + 1}`, act, `Turned away: not so that ${lower(RULES[p.rule].title)}.`, {
    seen: { by: 'turned away', terminal: p.terminal, credentials: p.credentials, rule: p.rule },
  });
}

const lower = (text: string) => text.charAt(0).toLowerCase() + text.slice(1);

function hoseSteps(fleet: Fleet, h: Hose, chosen: readonly Presentation[], step: Make): Step[] {
  const least = chosen
    .filter((p) => p.hose === h.id && p.limit > 0)
    .reduce((a, p) => Math.min(a, p.limit), h.mostPerFill);
  const product = nameOf(fleet, 'products', h.product);
  return [
    step(
      'hose',
      `product ${h.id}`,
      `Hose ${h.number}: look at nozzle, label and display; draw a little into a clear vessel.`,
      `It is ${product}, and number ${h.number} is painted there.`,
      {
        caution: true,
      },
    ),
    step(
      'hose',
      `limit ${h.id}`,
      `Hose ${h.number}: draw until it stops by itself, the least limit tried here being ${volumeText(fleet, least)}.`,
      'It stops at the limit, at most one pulse over.',
      {
        seen: { by: 'limit', hose: h.id },
        caution: true,
      },
    ),
    step(
      'hose',
      `no pulses ${h.id}`,
      `Hose ${h.number}: let go of the trigger in mid-fill and wait ${h.noPulse} s.`,
      'It ends by itself.',
      {
        seen: { by: 'ended', hose: h.id, reason: 'noPulses' },
        caution: true,
      },
    ),
  ];
}

/** The long timers, once for each different setting: the same wire serves them as the short one. */
function timerSteps(hoses: readonly Hose[], step: Make): Step[] {
  const [lift, first] = [new Map<number, Hose>(), new Map<number, Hose>()];
  for (const h of hoses) {
    if (!lift.has(h.lift)) lift.set(h.lift, h);
    if (!first.has(h.firstPulse)) first.set(h.firstPulse, h);
  }
  return [
    ...[...lift.values()].map((h) =>
      step(
        'hose',
        `lift ${h.id}`,
        `Hose ${h.number}: get let in, leave the nozzle hanging and wait ${h.lift} s.`,
        'It ends by itself.',
        {
          seen: { by: 'ended', hose: h.id, reason: 'notLifted' },
        },
      ),
    ),
    ...[...first.values()].map((h) =>
      step(
        'hose',
        `first ${h.id}`,
        `Hose ${h.number}: get let in, lift the nozzle, draw nothing and wait ${h.firstPulse} s.`,
        'It ends by itself.',
        {
          seen: { by: 'ended', hose: h.id, reason: 'notBegun' },
          caution: true,
        },
      ),
    ),
  ];
}

function notNowWords(fleet: Fleet, key: string): string {
  const hose = /^hose (.+) at (.+)$/.exec(key);
  if (hose)
    return `Nobody can be let in at ${nameOf(fleet, 'terminals', hose[2] ?? '')} for hose ${fleet.hoses.get(hose[1] ?? '')?.number ?? hose[1]}.`;
  return `Expectation ${key.slice('expectation '.length)} cannot be shown at this moment.`;
}

/** What a person presses on the tablet where journal and proofs speak for themselves; `withJournal` false: where they do not. */
export function pressesNeeded(sheet: Worksheet, withJournal = true): number {
  // Choose the site and make the sheet; open the pad, draw, sign.
  const frame = 2 + 3;
  return frame + sheet.steps.filter((s) => !withJournal || s.seen === null).length;
}
