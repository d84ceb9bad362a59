import { z } from 'zod';
import type { Run } from '../runner/run.ts';

/** What a learner may let go wrong at a practice yard, and what to try with it. Nothing of it exists at a yard that has joined an office. */
export const FAULTS = ['hoseFault', 'pulserStands', 'tankLow', 'eStop', 'officeAway'] as const;
export type Fault = (typeof FAULTS)[number];

export interface Lesson {
  readonly id: string;
  readonly title: string;
  /** What to do and what then should be seen. */
  readonly tries: string;
  /** What the buttons set and mend; null where nothing has to go wrong. */
  readonly fault: Fault | null;
  /** Whether the fault is of one hose. */
  readonly perHose: boolean;
  /** A card to present, where the lesson is about one. */
  readonly card: string | null;
}

/** A number of no card of any practice fleet: the check keeps it so. */
export const NOBODYS_CARD = '0000000000000';

const LESSONS: readonly Lesson[] = [
  {
    id: 'unknown',
    title: 'A card that nobody knows',
    tries: 'Present it. The terminal says why there is no fuel, and no hose is ready.',
    fault: null,
    perHose: false,
    card: NOBODYS_CARD,
  },
  {
    id: 'hoseFault',
    title: 'The dispenser does not answer',
    tries:
      'Begin a fill and set this in the middle of it: the fill ends with what was counted, and nobody gets the hose. Mend it: the hose comes back by itself.',
    fault: 'hoseFault',
    perHose: true,
    card: null,
  },
  {
    id: 'pulserStands',
    title: 'The pulser stands still',
    tries:
      'Set it in the middle of a fill: fuel would flow and nothing is counted. The hose stops by itself when no pulse has come for its time without pulses. Mend it before the next fill.',
    fault: 'pulserStands',
    perHose: true,
    card: null,
  },
  {
    id: 'tankLow',
    title: 'The tank is low',
    tries: 'Set it: each hose on that tank stops and says why. Fill the tank: they come back by themselves.',
    fault: 'tankLow',
    perHose: true,
    card: null,
  },
  {
    id: 'eStop',
    title: 'Somebody presses the emergency stop',
    tries:
      'Every hose stops. Pull the button out again: they stay stopped until a person has looked and resets them, with a name.',
    fault: 'eStop',
    perHose: false,
    card: null,
  },
  {
    id: 'officeAway',
    title: 'The office is out of reach',
    tries:
      'The site goes on: it decides, counts and prints. Allowances do what they say of being cut off; here at once, at a site in service after a quarter of an hour.',
    fault: 'officeAway',
    perHose: false,
    card: null,
  },
];

export interface LessonView extends Lesson {
  /** Hoses at which the fault is set now; `['']` for one that is of the whole yard. */
  readonly set: readonly string[];
}

export const practiseAct = z.strictObject({
  do: z.literal('practise'),
  fault: z.enum(FAULTS),
  hose: z.string().min(1).max(100).optional(),
  on: z.boolean(),
});
export type PractiseAct = z.infer<typeof practiseAct>;

/** The faults of one practice yard. */
export interface Lessons {
  readonly officeAway: boolean;
  view(run: Run | undefined): LessonView[];
  /** False where the yard is not simulated, there is no such hose, or a hose is missing. */
  set(act: PractiseAct, run: Run): boolean;
}

export function openLessons(): Lessons {
  let officeAway = false;
  // A fault of the yard as it is now; a yard that starts anew starts whole.
  const stands = new Set<string>();
  const setAt = (fault: Fault | null, run: Run): string[] => {
    const { hoses, eStop } = run.state;
    const blocked = (block: 'device' | 'tankLow') =>
      Object.keys(hoses).filter((id) => hoses[id]?.blocks.includes(block) ?? false);
    if (fault === 'hoseFault') return blocked('device');
    if (fault === 'tankLow') return blocked('tankLow');
    if (fault === 'pulserStands') return [...stands];
    return (fault === 'eStop' && eStop) || (fault === 'officeAway' && officeAway) ? [''] : [];
  };
  return {
    get officeAway() {
      return officeAway;
    },
    view: (run) => (run?.hands ? LESSONS.map((l) => ({ ...l, set: setAt(l.fault, run) })) : []),
    set({ fault, hose, on }, run) {
      const { hands } = run;
      if (!hands) return false;
      if (fault === 'officeAway') {
        officeAway = on;
        return true;
      }
      if (fault === 'eStop') {
        hands.eStop(on);
        return true;
      }
      const plan = hose === undefined ? undefined : run.state.plan.hoses[hose];
      if (!plan) return false;
      if (fault === 'hoseFault') hands.silence(plan.id, on);
      else if (fault === 'pulserStands') {
        hands.pulser(plan.id, on ? 'stuckA' : 'none');
        if (on) stands.add(plan.id);
        else stands.delete(plan.id);
      } else {
        for (const tank of plan.tanks) {
          const low = run.state.plan.tanks[tank]?.low ?? 0;
          hands.stand(tank, on ? Math.floor(low / 2) : undefined);
        }
      }
      return true;
    },
  };
}
