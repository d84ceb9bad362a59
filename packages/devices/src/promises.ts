import type { YardEvent, YardPort } from './port.ts';

/** What a suite needs of a yard under test: time that it can let pass, and hands at one hose. */
export interface YardTrial {
  readonly yard: YardPort;
  readonly hose: string;
  /** Lets the yard live so long. */
  pass(ms: number): void | Promise<void>;
  lift(): void | Promise<void>;
  hang(): void | Promise<void>;
  /** Opens the nozzle fully. */
  squeeze(): void | Promise<void>;
}

export interface YardPromise {
  readonly says: string;
  /** Throws an error that says how the promise was broken. */
  keep(trial: YardTrial): Promise<void>;
}

const must = (kept: boolean, broken: string): void => {
  if (!kept) throw new Error(broken);
};

async function begin(trial: YardTrial): Promise<YardEvent[]> {
  const events: YardEvent[] = [];
  await trial.yard.start((e) => events.push(e));
  await trial.pass(1_000);
  return events;
}
const counts = (events: readonly YardEvent[], hose: string): number[] =>
  events.flatMap((e) => ('count' in e && e.hose === hose ? [e.count] : []));
const last = (events: readonly YardEvent[], hose: string): number => counts(events, hose).at(-1) ?? 0;

/** The promises of the port, to be kept by every adapter; each is tried on a fresh yard. */
export const YARD_PROMISES: readonly YardPromise[] = [
  {
    says: 'tells that every hose is there, closed, with its count',
    async keep(trial) {
      const events = await begin(trial);
      must(
        events.some((e) => e.kind === 'returned' && e.hose === trial.hose),
        'the hose was not told of',
      );
    },
  },
  {
    says: 'lets nothing flow from a hose that is not armed',
    async keep(trial) {
      const events = await begin(trial);
      const before = last(events, trial.hose);
      await trial.lift();
      await trial.squeeze();
      await trial.pass(5_000);
      must(last(events, trial.hose) === before, 'pulses came though nothing was armed');
    },
  },
  {
    says: 'answers arm and disarm, never inside the call',
    async keep(trial) {
      const events = await begin(trial);
      const before = events.length;
      trial.yard.arm({ hose: trial.hose, stopAtPulses: 100, slowAtPulses: 50 });
      must(events.length === before, 'an event came inside arm');
      await trial.pass(2_000);
      must(
        events.some((e) => e.kind === 'armed' && e.hose === trial.hose),
        'arm was not answered',
      );
      trial.yard.disarm(trial.hose);
      await trial.pass(2_000);
      must(
        events.some((e) => e.kind === 'disarmed' && e.hose === trial.hose),
        'disarm was not answered',
      );
      const again = events.filter((e) => e.kind === 'disarmed').length;
      trial.yard.disarm(trial.hose);
      await trial.pass(2_000);
      must(events.filter((e) => e.kind === 'disarmed').length > again, 'disarm of a closed hose was not answered');
    },
  },
  {
    says: 'closes by itself at the stop count and counts upwards only',
    async keep(trial) {
      const events = await begin(trial);
      const before = last(events, trial.hose);
      trial.yard.arm({ hose: trial.hose, stopAtPulses: 60, slowAtPulses: 10 });
      await trial.pass(1_000);
      await trial.lift();
      await trial.squeeze();
      await trial.pass(90_000);
      const drawn = last(events, trial.hose) - before;
      must(drawn >= 60, `only ${drawn} of 60 pulses came`);
      must(drawn <= 120, `${drawn} pulses came where 60 were allowed`);
      const all = counts(events, trial.hose);
      must(
        all.every((c, i) => i === 0 || c >= (all[i - 1] as number)),
        'the count fell',
      );
      must(all.every(Number.isSafeInteger), 'a count was not a whole number');
      await trial.pass(5_000);
      must(last(events, trial.hose) - before === drawn, 'the hose went on after it had closed');
    },
  },
  {
    says: 'stops the flow when it is disarmed',
    async keep(trial) {
      const events = await begin(trial);
      trial.yard.arm({ hose: trial.hose, stopAtPulses: 1_000_000, slowAtPulses: 999_000 });
      await trial.pass(1_000);
      await trial.lift();
      await trial.squeeze();
      await trial.pass(5_000);
      trial.yard.disarm(trial.hose);
      await trial.pass(3_000);
      const then = last(events, trial.hose);
      await trial.pass(5_000);
      must(then > 0, 'nothing flowed at all');
      must(last(events, trial.hose) === then, 'the hose went on after it was disarmed');
    },
  },
  {
    says: 'closes everything when it is closed',
    async keep(trial) {
      const events = await begin(trial);
      trial.yard.arm({ hose: trial.hose, stopAtPulses: 1_000_000, slowAtPulses: 999_000 });
      await trial.pass(1_000);
      await trial.yard.close();
      const then = last(events, trial.hose);
      await trial.lift();
      await trial.squeeze();
      await trial.pass(5_000);
      must(last(events, trial.hose) === then, 'fuel flowed after the yard was closed');
    },
  },
  {
    says: 'says who closes at the stop count, and within what time',
    async keep({ yard }) {
      const { closesAtCount, closesWithinMs } = yard.can;
      must(closesWithinMs >= 0 && closesWithinMs <= 20_000, `${closesWithinMs} ms is no honest bound`);
      must(
        (closesAtCount === 'hardware') === (closesWithinMs === 0),
        'a preset needs no time; whoever polls needs some',
      );
    },
  },
];
