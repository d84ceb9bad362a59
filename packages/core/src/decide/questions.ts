import type { Question } from '../fleet/index.ts';
import type { Holder, PolicySite } from './policy.ts';
import type { Usage } from './types.ts';

export type AnswerVerdict =
  | { readonly says: 'pass' }
  | { readonly says: 'ask' }
  | {
      readonly says: 'refuse' | 'note';
      readonly why: 'form' | 'notAccepted' | 'tooLittle' | 'tooMuch';
      readonly last?: number;
    };

const PASS: AnswerVerdict = { says: 'pass' };
const ASK: AnswerVerdict = { says: 'ask' };

const counted = (kind: Question['kind']): kind is 'odometer' | 'hours' => kind === 'odometer' || kind === 'hours';

/** SPEC D14, D15: whether a question stands for this vehicle, and whether its answer may pass. */
export function judgeAnswer(
  question: Question,
  answer: string | undefined,
  vehicle: Pick<Holder, 'id' | 'counter'> | null,
  usage: Usage,
): AnswerVerdict | null {
  if (counted(question.kind) && vehicle !== null && vehicle.counter !== question.kind) return null;
  if (answer === undefined) return ASK;
  const text = answer.trim();
  if (!counted(question.kind)) {
    const fold = text.toLowerCase();
    const listed = question.accepted.some((a) => a.trim().toLowerCase() === fold);
    if (question.kind === 'text') return listed ? PASS : { says: 'refuse', why: 'notAccepted' };
    if (!/^[\p{L}\p{N}]+$/u.test(text) || text.length > question.digits) return { says: 'refuse', why: 'form' };
    return listed || question.accepted.length === 0 ? PASS : { says: 'refuse', why: 'notAccepted' };
  }
  if (!/^\d+$/.test(text) || text.length > question.digits) return { says: 'refuse', why: 'form' };
  const { leastAdvance: least, mostAdvance: most } = question;
  if (vehicle === null || (least === null && most === null)) return PASS;
  const last = usage.lastReading(vehicle.id, question.kind);
  if (last === undefined) return PASS;
  const advance = Number(text) - last;
  const says = question.whenImplausible === 'decline' ? 'refuse' : 'note';
  if (advance < (least ?? 0)) return { says, why: 'tooLittle', last };
  if (most !== null && advance > most) return { says, why: 'tooMuch', last };
  return PASS;
}

const NONE: readonly Question[] = [];

/** The questions of the site, the driver and the vehicle, each once, in that order. */
export function questionsFor(site: PolicySite, driver: Holder | null, vehicle: Holder | null): readonly Question[] {
  const d = driver?.questions ?? NONE;
  const v = vehicle?.questions ?? NONE;
  if (d.length === 0 && v.length === 0) return site.questions;
  if (site.questions.length === 0 && d.length === 0) return v;
  if (site.questions.length === 0 && v.length === 0) return d;
  return [...new Set([...site.questions, ...d, ...v])];
}

/** An answer that passes where nothing was read before; undefined where there is none. */
export function rightAnswer(question: Question): string | undefined {
  if (counted(question.kind)) return '0';
  if (question.kind === 'job' && question.accepted.length === 0) return '1';
  return question.accepted.find((a) => judgeAnswer(question, a, null, NOTHING_READ)?.says === 'pass');
}

/** Whether no answer at all would pass: accepted answers are listed wrongly or not at all. */
export function unanswerable(question: Question): boolean {
  return rightAnswer(question) === undefined;
}
const NOTHING_READ: Usage = { used: () => undefined, lastReading: () => undefined, cutOff: false };
