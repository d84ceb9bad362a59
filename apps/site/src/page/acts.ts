import type { Block } from '@fillwright/core/island';
import { readSwipe } from '@fillwright/devices';
import { z } from 'zod';
import type { Run } from '../runner/run.ts';
import { type Lessons, practiseAct } from './lessons.ts';

/** What a person does at the page. */
const id = z.string().min(1).max(100);
export const act = z.discriminatedUnion('do', [
  z.strictObject({
    do: z.literal('key'),
    terminal: id,
    key: z.enum(['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'enter', 'clear', 'cancel']),
  }),
  z.strictObject({ do: z.literal('card'), terminal: id, number: z.string().min(1).max(64) }),
  /** What a reader typed in a burst, as it came. */
  z.strictObject({ do: z.literal('swipe'), terminal: id, text: z.string().min(1).max(100) }),
  z.strictObject({ do: z.literal('choose'), terminal: id, hose: id }),
  z.strictObject({ do: z.literal('answer'), terminal: id, text: z.string().max(100) }),
  z.strictObject({ do: z.literal('language'), terminal: id, language: z.enum(['en', 'es', 'fr']) }),
  z.strictObject({ do: z.literal('receipt'), terminal: id, hose: id.optional(), fill: z.string().max(240).optional() }),
  /** A person who has looked sets a block aside. */
  z.strictObject({
    do: z.literal('cleared'),
    hose: id.optional(),
    block: z.enum(['eStop', 'doubt', 'stray', 'valve']),
    by: z.string().trim().min(1).max(100),
  }),
  /** A person on site takes a hose out of service, or puts it back. */
  z.strictObject({ do: z.literal('service'), hose: id, out: z.boolean(), by: z.string().trim().min(1).max(100) }),
  /** At a simulated yard only. */
  z.strictObject({ do: z.literal('lift'), hose: id }),
  z.strictObject({ do: z.literal('hang'), hose: id }),
  z.strictObject({ do: z.literal('squeeze'), hose: id, share: z.number().min(0).max(1) }),
  z.strictObject({ do: z.literal('eStop'), on: z.boolean() }),
  /** At a practice yard only. */
  practiseAct,
]);
export type Act = z.infer<typeof act>;

/** Tells the machine or the simulated yard; false when there is nothing of that name here. */
export function perform(act: Act, run: Run, lessons?: Lessons): boolean {
  const { plan } = run.state;
  if ('terminal' in act && !plan.terminals[act.terminal]) return false;
  if ('hose' in act && act.hose !== undefined && !plan.hoses[act.hose]) return false;
  switch (act.do) {
    case 'key':
      run.feed({ kind: 'key', terminal: act.terminal, key: act.key });
      return true;
    case 'card':
      run.feed({ kind: 'credential', terminal: act.terminal, number: act.number });
      return true;
    case 'swipe': {
      const read = readSwipe(act.text);
      run.feed(
        read.ok
          ? { kind: 'credential', terminal: act.terminal, number: read.number }
          : { kind: 'misread', terminal: act.terminal },
      );
      return true;
    }
    case 'choose':
      run.feed({ kind: 'choose', terminal: act.terminal, hose: act.hose });
      return true;
    case 'answer':
      run.feed({ kind: 'answer', terminal: act.terminal, text: act.text });
      return true;
    case 'language':
      run.feed({ kind: 'language', terminal: act.terminal, language: act.language });
      return true;
    case 'receipt':
      run.feed({
        kind: 'receipt',
        terminal: act.terminal,
        ...(act.hose === undefined ? {} : { hose: act.hose }),
        ...(act.fill === undefined ? {} : { fill: act.fill }),
      });
      return true;
    case 'service':
      // What the release has out of service stays so.
      if (!act.out && !plan.hoses[act.hose]?.active) return false;
      run.feed({ kind: 'service', hose: act.hose, out: act.out, by: act.by });
      return true;
    case 'practise':
      return lessons?.set(act, run) ?? false;
    case 'cleared': {
      const block: Block = act.block;
      run.feed({ kind: 'cleared', block, by: act.by, ...(act.hose === undefined ? {} : { hose: act.hose }) });
      return true;
    }
    default:
      break;
  }
  const { hands } = run;
  if (!hands) return false;
  if (act.do === 'lift') hands.lift(act.hose);
  else if (act.do === 'hang') hands.hang(act.hose);
  else if (act.do === 'squeeze') hands.squeeze(act.hose, act.share);
  else hands.eStop(act.on);
  return true;
}
