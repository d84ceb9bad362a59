import type { Fleet } from '@fillwright/core/fleet';
import type { Clock } from './clock.ts';
import { type Person, somebody } from './person.ts';
import { type Random, randomFrom } from './random.ts';
import { isHere, type Place, thirstySince } from './whereabouts.ts';
import type { SimulatedYard } from './yard.ts';

/** What a terminal shows, as far as a person needs it. */
export interface Seen {
  readonly screen: string;
  readonly data: Readonly<Record<string, unknown>>;
}

export interface TrafficOptions {
  readonly clock: Clock;
  readonly seed: string | number;
  readonly fleet: Fleet;
  readonly site: string;
  readonly yard: SimulatedYard;
  readonly pinOf: (driver: string) => string;
  /** Mean minutes between people at the site; they come less at night. Common practice, no source. */
  readonly everyMin?: number;
  /** Which of the yards this is that share the fleet's people: nobody is at two at once. Alone where it is left out. */
  readonly place?: Place;
  /** Where counters stood at a moment, as 'VEHICLE/odometer' or 'VEHICLE/hours': from there they go on with time, alike at every site. */
  readonly counters?: Counters;
  /** Answers a question at a terminal that has letters; without it people key digits. */
  readonly answer?: (terminal: string, text: string) => void;
}

export interface Counters {
  /** ms UTC. */
  readonly at: number;
  readonly values: Readonly<Record<string, number>>;
  /** When vehicles were filled last, ms UTC, by id. */
  readonly filled?: Readonly<Record<string, number>> | undefined;
  /** Microlitres that a unit of a counter takes, by what it is in `values`: with it nobody fills more than they can have used. */
  readonly uses?: Readonly<Record<string, number>> | undefined;
}

/** What a vehicle goes on by in an hour of the clock, idle ones and busy ones together. Common practice, no source. */
export const AN_HOUR = { odometer: 12, hours: 0.5 };
/** Nobody comes for less: microlitres (about two gallons). Common practice, no source. */
const LEAST_WANTED_UL = 7_500_000;

export interface Traffic {
  /** To be called with every screen that a terminal shows. */
  see(terminal: string, seen: Seen): void;
  stop(): void;
  /** How many have come so far. */
  readonly came: () => number;
}

interface Visit {
  readonly person: Person;
  presented: number;
  pins: number;
  asked: string | null;
  filling: boolean;
}

const DAY_MS = 86_400_000;
const TRIES_MS = 90_000;
const MOST_THOUGHT_OF = 200;

/** People who come to a yard one after another, read the screen and do what it says. */
export function traffic(options: TrafficOptions): Traffic {
  const { clock, fleet, site, yard } = options;
  const random: Random = randomFrom(`traffic/${options.seed}/${site}`);
  const everyMs = (options.everyMin ?? 6) * 60_000;
  const visits = new Map<string, Visit>();
  const drawing = new Set<string>();
  const readings = new Map<string, number>();
  const filled = new Map<string, number>();
  const cancels = new Set<() => void>();
  let came = 0;
  let stopped = false;

  const later = (ms: number, deed: () => void) => {
    const cancel = clock.after(ms, () => {
      cancels.delete(cancel);
      if (!stopped) deed();
    });
    cancels.add(cancel);
  };
  const busyHour = (at: number) =>
    0.25 + 0.75 * Math.max(0, Math.sin((2 * Math.PI * ((at % DAY_MS) - DAY_MS / 4)) / DAY_MS));

  function arrive(): void {
    // Exponential gaps: people come independently of each other.
    later((-Math.log(1 - random.next()) * everyMs) / busyHour(clock.now()), () => {
      come();
      arrive();
    });
  }
  /** Most of a fleet is elsewhere: so many are thought of at most. */
  function whoIsHere(): Person | undefined {
    const { place } = options;
    for (let i = 0; i < (place ? MOST_THOUGHT_OF : 1); i++) {
      const person = somebody(fleet, site, random);
      const all = person?.vehicle ? [person.driver, person.vehicle.id] : [person?.driver ?? ''];
      if (!person || (place && !all.every((id) => isHere(id, clock.now(), place)))) continue;
      const wantedUl = wantedBy(person);
      if (wantedUl !== null) return { ...person, wantedUl };
    }
    return undefined;
  }
  const isDef = (hose: string) => fleet.products.get(fleet.hoses.get(hose)?.product ?? '')?.kind === 'def';
  /** What a vehicle with a past has used since it was filled; null where it does not come for that. */
  function wantedBy({ vehicle, hose, wantedUl }: Person): number | null {
    const { counters } = options;
    if (!vehicle || !counters?.uses) return wantedUl;
    const { uses, filled: before } = counters;
    const kind = (['odometer', 'hours'] as const).find((k) => uses[`${vehicle.id}/${k}`] !== undefined);
    const now = clock.now();
    const since = thirstySince(vehicle.id, now);
    if (since === null) return null;
    if (isDef(hose)) return wantedUl;
    const last = Math.max(since, before?.[vehicle.id] ?? 0, filled.get(vehicle.id) ?? 0);
    const tank = vehicle.capacity ?? wantedUl;
    // Of whom no past tells uses a tank a day.
    const anHour = kind ? AN_HOUR[kind] * (uses[`${vehicle.id}/${kind}`] as number) : tank / 24;
    const ul = Math.floor(Math.min(((now - last) / 3_600_000) * anHour * random.between(0.8, 1.1), tank));
    return ul < LEAST_WANTED_UL ? null : ul;
  }
  function come(): void {
    const person = whoIsHere();
    if (!person || visits.has(person.terminal) || drawing.has(person.hose)) return;
    came++;
    const visit: Visit = { person, presented: 0, pins: 0, asked: null, filling: false };
    visits.set(person.terminal, visit);
    presentNext(visit);
    // Nobody waits for ever at a terminal that does not answer.
    later(TRIES_MS, () => {
      if (visits.get(person.terminal) === visit && !visit.filling) visits.delete(person.terminal);
    });
  }
  function presentNext(visit: Visit, of?: unknown): void {
    const { cards, terminal } = visit.person;
    const wanted = of === 'driver' || of === 'vehicle' ? cards.find((c) => c.of === of) : cards[visit.presented];
    visit.presented++;
    if (wanted && visit.presented <= 2) later(random.whole(1_500, 4_000), () => yard.present(terminal, wanted.number));
    else later(1_000, () => leave(visit, true));
  }
  function leave(visit: Visit, cancel: boolean): void {
    const { terminal } = visit.person;
    if (visits.get(terminal) !== visit) return;
    visits.delete(terminal);
    if (cancel) yard.key(terminal, 'cancel');
  }
  function keys(terminal: string, text: string): void {
    let wait = random.whole(900, 2_000);
    for (const digit of text) {
      later(wait, () => yard.key(terminal, digit));
      wait += random.whole(250, 600);
    }
    later(wait, () => yard.key(terminal, 'enter'));
  }

  function reading(person: Person, kind: 'odometer' | 'hours'): string {
    const key = `${person.vehicle?.id ?? person.driver}/${kind}`;
    const most = kind === 'odometer' ? 90_000 : 9_000;
    if (options.counters) {
      // Of whom no past tells: alike at every yard.
      const from = options.counters.values[key] ?? randomFrom(`counter/${key}`).whole(2_000, most);
      return String(from + Math.max(0, Math.ceil(((clock.now() - options.counters.at) / 3_600_000) * AN_HOUR[kind])));
    }
    const last = readings.get(key) ?? random.whole(2_000, most);
    const now = last + random.whole(5, kind === 'odometer' ? 260 : 9);
    readings.set(key, now);
    return String(now);
  }
  function answerTo(prompt: unknown, person: Person): string {
    const q = [...fleet.questions.values()].find((x) => x.prompt === prompt);
    if (q?.kind === 'odometer' || q?.kind === 'hours') return reading(person, q.kind);
    return q && q.accepted.length > 0 ? random.pick(q.accepted) : String(random.whole(1_000, 9_999));
  }

  function fill(visit: Visit): void {
    const { hose, terminal, wantedUl } = visit.person;
    visit.filling = true;
    drawing.add(hose);
    if (visit.person.vehicle && !isDef(hose)) filled.set(visit.person.vehicle.id, clock.now());
    if (visits.get(terminal) === visit) visits.delete(terminal);
    const begin = yard.look().hoses[hose]?.deliveredUl ?? 0;
    later(random.whole(3_000, 9_000), () => {
      yard.lift(hose);
      later(random.whole(2_000, 5_000), () => {
        yard.squeeze(hose, 1);
        let still = 0;
        const watch = () => {
          const h = yard.look().hoses[hose];
          if (!h) return;
          still = h.flowUlPerMin === 0 ? still + 1 : 0;
          if (h.deliveredUl - begin >= wantedUl || still > 8) {
            yard.squeeze(hose, 0);
            later(random.whole(2_500, 6_000), () => {
              yard.hang(hose);
              later(8_000, () => drawing.delete(hose));
            });
          } else later(500, watch);
        };
        later(500, watch);
      });
    });
  }

  const does: Readonly<Record<string, (visit: Visit, seen: Seen) => void>> = {
    card: (visit, seen) => {
      if (seen.data.typed === '' || seen.data.typed === undefined) presentNext(visit, seen.data.of);
    },
    misread: (visit) => presentNext(visit),
    pin: (visit, seen) => {
      if (seen.data.typed !== '' || visit.pins > 0) return;
      visit.pins++;
      const right = options.pinOf(visit.person.driver);
      keys(visit.person.terminal, visit.person.mistaken ? '0000' : right);
    },
    pinWrong: (visit) => {
      visit.pins++;
      if (visit.pins > 2) later(1_000, () => leave(visit, true));
      else keys(visit.person.terminal, options.pinOf(visit.person.driver));
    },
    question: (visit, seen) => {
      const prompt = String(seen.data.prompt);
      if (seen.data.typed !== '' || visit.asked === prompt) return;
      visit.asked = prompt;
      const text = answerTo(prompt, visit.person);
      if (/^\d+$/.test(text)) keys(visit.person.terminal, text);
      else if (options.answer) later(2_000, () => options.answer?.(visit.person.terminal, text));
      else later(1_000, () => leave(visit, true));
    },
    choose: (visit, seen) => {
      if (seen.data.typed !== '') return;
      const number = fleet.hoses.get(visit.person.hose)?.number;
      if (number !== undefined)
        later(random.whole(1_000, 2_500), () => yard.key(visit.person.terminal, String(number)));
    },
    busy: (visit) => later(2_000, () => leave(visit, true)),
    authorised: (visit) => {
      if (!visit.filling) fill(visit);
    },
    refused: (visit) => later(4_000, () => leave(visit, false)),
    out: (visit) => leave(visit, false),
  };

  arrive();
  return {
    see(terminal, seen) {
      const visit = visits.get(terminal);
      if (visit && !stopped) does[seen.screen]?.(visit, seen);
    },
    stop() {
      stopped = true;
      for (const cancel of cancels) cancel();
      cancels.clear();
    },
    came: () => came,
  };
}
