import type { Random, VirtualClock } from '@fillwright/sim';
import { CARDS, hosesOf, PINS } from './fleet.ts';
import type { SimYard } from './yard.ts';

/** Drivers of one yard: they come, read the screen, and do what it says, mostly. */
export interface People {
  see(screen: string): void;
  stop(): void;
}

interface Visit {
  readonly driver: string;
  readonly hose: number;
  readonly whim: 'draws' | 'hangs early' | 'never lifts' | 'never squeezes' | 'cancels' | 'walks away';
  step: string;
}

const WHIMS: readonly Visit['whim'][] = [
  'draws',
  'draws',
  'draws',
  'draws',
  'draws',
  'hangs early',
  'never lifts',
  'never squeezes',
  'cancels',
  'walks away',
];
const MEAN_MS = 4 * 3_600_000;

export function people(options: {
  readonly clock: VirtualClock;
  readonly random: Random;
  readonly yard: SimYard;
  readonly site: string;
}): People {
  const { clock, random, yard, site } = options;
  const terminal = `${site}-term`;
  let visit: Visit | undefined;
  let stopped = false;
  const hands = yard.people;
  const later = (ms: number, deed: () => void) => clock.after(ms, () => !stopped && deed());

  function arrive(): void {
    later(Math.floor(-Math.log(1 - random.next()) * MEAN_MS), () => {
      come();
      arrive();
    });
  }
  function come(): void {
    const driver = random.pick(Object.keys(CARDS));
    const v: Visit = { driver, hose: random.whole(0, 1), whim: random.pick(WHIMS), step: '' };
    visit = v;
    hands.present(terminal, random.chance(0.03) ? '99999' : (CARDS[driver] ?? ''));
    // A second person comes while the first fuels.
    if (random.chance(0.15)) later(random.whole(8_000, 30_000), come);
    later(90_000, () => {
      if (visit === v) visit = undefined;
    });
  }
  function keys(digits: string): void {
    for (const digit of digits) hands.key(terminal, digit);
    later(300, () => hands.key(terminal, 'enter'));
  }
  function fuel(v: Visit): void {
    const hose = hosesOf(site)[v.hose] ?? '';
    if (v.whim === 'walks away') return;
    if (v.whim === 'cancels') {
      later(2_000, () => hands.key(terminal, 'cancel'));
      return;
    }
    if (v.whim === 'never lifts') return;
    later(random.whole(1_500, 6_000), () => {
      hands.lift(hose);
      if (v.whim === 'never squeezes') {
        later(200_000, () => hands.hang(hose));
        return;
      }
      later(random.whole(800, 3_000), () => {
        hands.squeeze(hose, true);
        const ms = v.whim === 'hangs early' ? random.whole(1_000, 12_000) : random.whole(14_000, 30_000);
        later(ms, () => {
          hands.squeeze(hose, false);
          later(random.whole(300, 2_000), () => hands.hang(hose));
        });
      });
    });
  }

  arrive();
  return {
    see(screen) {
      const v = visit;
      if (!v || stopped || v.step === screen) return;
      v.step = screen;
      if (screen === 'pin') later(900, () => keys(random.chance(0.1) ? '0000' : (PINS[v.driver] ?? '')));
      else if (screen === 'pinWrong') later(900, () => keys(PINS[v.driver] ?? ''));
      else if (screen === 'choose') later(700, () => hands.key(terminal, String(v.hose + 1)));
      else if (screen === 'authorised') {
        fuel(v);
        visit = undefined;
      } else if (screen === 'busy' || screen === 'refused') visit = undefined;
    },
    stop() {
      stopped = true;
      for (const hose of yard.hoses.keys()) {
        hands.squeeze(hose, false);
        hands.hang(hose);
      }
    },
  };
}
