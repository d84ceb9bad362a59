import { statesOf } from './box.ts';
import type { Fate } from './disk.ts';
import type { Fault, FaultKind } from './faults.ts';
import type { Watched, World } from './world.ts';

const MIN = 60_000;
const HOUR = 60 * MIN;

const FATE: Partial<Record<FaultKind, Fate>> = {
  'cut in a write, lost': 'cutLost',
  'cut in a write, kept': 'cutKept',
  'write error, lost': 'failedLost',
  'write error, kept': 'failedKept',
};

/** Does a fault to a box or to everybody, and lets it pass after its time. */
export function inflict(world: World, w: Watched, fault: Fault): void {
  const { clock, hub, broker } = world;
  const { box } = w;
  const { kind, much } = fault;
  const span = (least: number, most: number) => Math.floor(least + much * (most - least));
  const whole = (least: number, most: number) => least + Math.floor(much * (most - least + 1));
  const hoses = [...box.yard.hoses.keys()];
  const busy = Object.entries(box.island?.hoses ?? {}).find(([, h]) => h.fill !== null)?.[0];
  const hose = busy ?? hoses[Math.floor(much * 1_000) % hoses.length] ?? '';
  const later = (ms: number, undo: () => void) => {
    world.lasting++;
    clock.after(ms, () => {
      world.lasting--;
      undo();
    });
  };

  const fate = FATE[kind];
  if (fate) {
    // The write that it strikes may be a few away; what is struck is told when it happens.
    w.striking = kind;
    box.fates.push(...Array.from({ length: whole(0, 3) }, (): Fate => 'ok'), fate);
    return;
  }
  if (kind === 'disk full') {
    w.striking = kind;
    box.stuck = 'full';
    later(span(MIN, 2 * HOUR), () => {
      box.stuck = undefined;
    });
    return;
  }
  world.cover(kind, statesOf(box));
  switch (kind) {
    case 'power cut':
      world.cut(w, { counters: false, hoses: true, forMs: span(5_000, 30 * MIN) });
      break;
    case 'power cut, counters too':
      world.cut(w, { counters: true, hoses: true, forMs: span(5_000, 30 * MIN) });
      break;
    case 'box dies, dispensers run on':
      world.cut(w, { counters: false, hoses: false, forMs: span(2_000, 3 * MIN) });
      break;
    case 'clock ahead':
    case 'clock behind': {
      box.offset += (kind === 'clock ahead' ? 1 : -1) * span(30_000, 3 * 24 * HOUR);
      later(span(HOUR, 10 * HOUR), () => {
        box.offset = 0;
      });
      break;
    }
    case 'clock at 1970':
      // A battery that is empty: the clock begins anew when the power comes back.
      world.cut(w, { counters: false, hoses: true, forMs: span(5_000, 5 * MIN) });
      box.offset = -clock.now();
      later(span(HOUR, 10 * HOUR), () => {
        box.offset = 0;
      });
      break;
    case 'link down':
      box.lineDown = true;
      box.line.cut();
      later(span(MIN, 9 * HOUR), () => {
        box.lineDown = false;
      });
      break;
    case 'messages lost':
      broker.faults.loss = 0.3;
      later(span(MIN, 4 * HOUR), () => {
        broker.faults.loss = 0;
      });
      break;
    case 'messages twice':
      broker.faults.twice = 0.5;
      later(span(MIN, 4 * HOUR), () => {
        broker.faults.twice = 0;
      });
      break;
    case 'messages late and unordered':
      Object.assign(broker.faults, { unruly: true, slowMs: span(2_000, 5 * MIN) });
      later(span(10 * MIN, 4 * HOUR), () => Object.assign(broker.faults, { unruly: false, slowMs: 20 }));
      break;
    case 'broker wiped':
      broker.wipe();
      break;
    case 'broker away':
      broker.away(true);
      later(span(MIN, 2 * HOUR), () => broker.away(false));
      break;
    case 'office down':
      hub.faults.down = true;
      later(span(MIN, 3 * HOUR), () => {
        hub.faults.down = false;
      });
      break;
    case 'office falls over':
      Object.assign(hub.faults, { crashBeforeCommit: 0.3, crashBeforeAck: 0.3 });
      later(span(10 * MIN, 3 * HOUR), () => Object.assign(hub.faults, { crashBeforeCommit: 0, crashBeforeAck: 0 }));
      break;
    case 'office restored from backup':
      hub.backUp();
      later(span(MIN, 8 * HOUR), () => hub.restore());
      break;
    case 'pulse noise':
      box.yard.noise(hose, whole(1, 6));
      break;
    case 'pulse noise, backwards':
      box.yard.noise(hose, -whole(1, 6));
      break;
    case 'dispenser silent':
      box.yard.silence(hose, true);
      later(span(5_000, 30 * MIN), () => box.yard.silence(hose, false));
      break;
    case 'emergency stop':
      box.yard.eStop(true);
      later(span(10_000, 10 * MIN), () => {
        box.yard.eStop(false);
        later(1_000, () => world.lift(w));
      });
      break;
    case 'mains lost':
      box.yard.mains(false);
      later(span(1_000, 10 * MIN), () => box.yard.mains(true));
      break;
    case 'card stopped':
      world.stopCard();
      later(HOUR, () => world.release('good'));
      break;
    case 'release':
      world.release('good');
      break;
    case 'poisoned release':
      world.release('poisoned');
      break;
    default:
      throw new RangeError(`nobody knows how to do ${kind}`);
  }
}
