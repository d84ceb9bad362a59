import { UNKNOWN } from './presentations.ts';
import type { Seen, Worksheet } from './worksheet.ts';

/** What the office has of the site's journal, as far as it matters here: the journal's own entries fit. Instants in milliseconds UTC. */
export interface Fact {
  /** Where it stands in the journal; of an authorisation the fill's id. */
  readonly ref: string;
  readonly kind: string;
  readonly at: number;
  readonly terminal?: string | undefined;
  readonly hose?: string | undefined;
  readonly tank?: string | undefined;
  readonly fill?: string | undefined;
  readonly credentials?: readonly string[] | undefined;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  readonly revision?: number | undefined;
  readonly to?: number | undefined;
  readonly reason?: string | undefined;
  readonly limitUl?: number | undefined;
  readonly overPulses?: number | undefined;
  readonly alarm?: string | undefined;
  readonly block?: string | undefined;
  readonly levelMm?: number | undefined;
  readonly ul?: number | undefined;
}

/** A proving run, as far as it matters here. */
export interface ProofFact {
  readonly ref: string;
  readonly hose: string;
  readonly at: number;
  readonly verdict: 'passes' | 'fails' | 'incomplete';
}

export interface Recognised {
  readonly step: string;
  readonly verdict: 'good' | 'bad';
  readonly at: number;
  readonly note: string;
  /** The journal entry or proving run that says so. */
  readonly ref: string;
}

/**
 * What the journal itself proves of a worksheet's steps: the newest fact that speaks of a step decides. Facts before `from`, and decisions under
 * another release, prove nothing. Facts in the order of the journal.
 */
export function recognise(
  sheet: Pick<Worksheet, 'release' | 'steps'>,
  facts: readonly Fact[],
  proofs: readonly ProofFact[],
  from: number,
): Recognised[] {
  const revisions = new Map<string, number>();
  for (const f of facts) if (f.kind === 'authorised' && f.revision !== undefined) revisions.set(f.ref, f.revision);
  const live = facts.filter((f) => f.at >= from);
  const out: Recognised[] = [];
  for (const step of sheet.steps) {
    if (step.seen === null) continue;
    let last: Recognised | undefined;
    if (step.seen.by === 'proof') {
      const { hose } = step.seen;
      for (const p of proofs)
        if (p.hose === hose && p.at >= from && p.verdict !== 'incomplete' && (last === undefined || p.at >= last.at))
          last = {
            step: step.id,
            verdict: p.verdict === 'passes' ? 'good' : 'bad',
            at: p.at,
            note: `proving run: ${p.verdict}`,
            ref: p.ref,
          };
    }
    for (const f of live) {
      const revision = f.revision ?? (f.fill === undefined ? undefined : revisions.get(f.fill));
      const said = saysOf(step.seen, f, sheet.release, revision);
      if (said) last = { step: step.id, at: f.at, ref: f.fill ?? f.ref, ...said };
    }
    if (last) out.push(last);
  }
  return out;
}

type Said = { readonly verdict: 'good' | 'bad'; readonly note: string };
const good = (note: string): Said => ({ verdict: 'good', note });
const bad = (note: string): Said => ({ verdict: 'bad', note });

function saysOf(seen: Seen, f: Fact, release: number, revision: number | undefined): Said | undefined {
  // Only what was decided under the worksheet's own release shows anything about it.
  const decided = f.kind === 'authorised' || f.kind === 'refused' || f.kind === 'ended';
  if (decided && revision !== release) return undefined;
  switch (seen.by) {
    case 'runs':
      if (f.kind === 'started' || f.kind === 'revision') {
        const now = f.kind === 'started' ? f.revision : f.to;
        return now === seen.release ? good(`runs release ${now}`) : bad(`runs release ${now}`);
      }
      return decided ? good(`decides by release ${release}`) : undefined;
    case 'let in':
      return letIn(seen, f);
    case 'turned away':
      return turnedAway(seen, f);
    case 'limit':
      if (f.kind !== 'ended' || f.hose !== seen.hose || f.reason !== 'limit') return undefined;
      return (f.overPulses ?? 0) <= 1
        ? good(`stopped ${f.overPulses ?? 0} pulses over the limit`)
        : bad(`ran ${f.overPulses} pulses over the limit`);
    case 'ended':
      return f.kind === 'ended' && f.hose === seen.hose && f.reason === seen.reason
        ? good('ended by itself')
        : undefined;
    case 'e-stop':
      return f.kind === 'ended' && f.reason === 'eStop' ? good('a hose was stopped by it') : undefined;
    case 'reset':
      return f.kind === 'resumed' && f.block === 'eStop' ? good('reset') : undefined;
    case 'gauge':
      if (f.kind !== 'reading' || f.tank !== seen.tank) return undefined;
      return f.levelMm === undefined && f.ul === undefined ? bad('a reading without a level') : good('a level came');
    case 'proof':
      return undefined;
  }
}

const sameWho = (seen: { driver: string | null; vehicle: string | null }, f: Fact) =>
  (f.driver ?? null) === seen.driver && (f.vehicle ?? null) === seen.vehicle;

function letIn(seen: Extract<Seen, { by: 'let in' }>, f: Fact): Said | undefined {
  if (f.terminal !== seen.terminal || !sameWho(seen, f)) return undefined;
  if (f.kind === 'authorised' && f.hose === seen.hose) {
    const limit = f.limitUl ?? 0;
    // What was drawn before comes off; more than was expected is another matter.
    return limit <= seen.limit ? good('let in') : bad('let in for more than expected');
  }
  if (f.kind === 'refused' && f.hose === seen.hose) return bad(`turned away: ${f.reason}`);
  return undefined;
}

function turnedAway(seen: Extract<Seen, { by: 'turned away' }>, f: Fact): Said | undefined {
  if (f.terminal !== seen.terminal || !sameCards(seen.credentials, f.credentials ?? [])) return undefined;
  if (f.kind === 'refused') return f.reason === seen.rule ? good(`turned away: ${f.reason}`) : undefined;
  return undefined;
}

/** Cards in any order; a number that nobody has is on record as 'unknown-' and its last four digits. */
function sameCards(wanted: readonly string[], got: readonly string[]): boolean {
  // A terminal stops asking once it knows that it will refuse: fewer cards are enough then.
  if (got.length === 0 || got.length > wanted.length) return false;
  const plain = got.map((id) => (id.startsWith('unknown-') ? UNKNOWN : id));
  return plain.every((id) => wanted.includes(id));
}
