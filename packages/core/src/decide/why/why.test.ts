import { describe, expect, it } from 'vitest';
import { naiveChoices } from '../../../test/naive-choices.ts';
import { alikeCase, caseOf, earliestAhead, standInCase, zones } from '../../../test/why-case.ts';
import type { Decision } from '../types.ts';
import { changed } from './apply.ts';
import type { Change, WhyCase } from './types.ts';
import { clash, decideCase, why } from './why.ts';

const FLEETS = Number(process.env.FILLWRIGHT_WHY_FLEETS ?? 60);

/** Sets of changes that do not clash, `size` of them. */
function* sets(choices: readonly Change[], size: number, from = 0): Generator<Change[]> {
  if (size === 0) yield [];
  else
    for (let i = from; i < choices.length; i++) {
      const c = choices[i] as Change;
      for (const rest of sets(choices, size - 1, i + 1)) if (!rest.some((r) => clash(r, c))) yield [c, ...rest];
    }
}

/**
 * Every set of `size` changes that helps, without any pruning, by its words; beside it the earliest moment where coming later is one of the
 * changes, 0 where none is.
 */
function brute(base: WhyCase, size: number, wanted: number): Record<string, number> {
  const out: Record<string, number> = {};
  const choices = naiveChoices(base, wanted);
  const enough = (d: Decision) => d.approved && d.limit >= wanted;
  for (const set of sets(choices, size))
    if (enough(decideCase(changed(base, set, zones), base, zones))) out[told(set)] = 0;
  for (const set of sets(choices, size - 1)) {
    const at = earliestAhead(base, set, wanted);
    if (at !== undefined) out[told([...set, { kind: 'time', at }])] = at;
  }
  return out;
}

/** The same words in whatever order, of whatever time, and whoever else could be presented. */
const told = (set: readonly Change[]) =>
  set
    .map((c) => (c.kind === 'time' ? 'time' : JSON.stringify(c.kind === 'present' ? { ...c, alike: 0 } : c)))
    .sort()
    .join();

describe('two changes', () => {
  it('clash where both cannot be made: of one kind, about one thing', () => {
    const field = (table: 'drivers' | 'vehicles', id: string, name: string): Change => ({
      ...{ kind: 'field', table, id, field: name, to: true },
    });
    const give = (table: 'drivers' | 'vehicles', id: string, allowance: string): Change => ({
      ...{ kind: 'give', table, id, allowance },
    });
    const present = (table: 'drivers' | 'vehicles', id: string): Change => ({
      ...{ kind: 'present', table, id, number: id, alike: 0 },
    });
    // Those of one word are about one thing.
    const words: [string, Change][] = [
      ...(['h1', 'h2'] as const).map((hose): [string, Change] => ['hose', { kind: 'hose', hose }]),
      ...[1, 2].map((at): [string, Change] => ['time', { kind: 'time', at }]),
      ['pin', { kind: 'pin' }],
      ['pin', { kind: 'pin' }],
      ['link', { kind: 'link' }],
      ...['q1', 'q2'].flatMap((question) =>
        ['1', '2'].map((answer): [string, Change] => [`answer ${question}`, { kind: 'answer', question, answer }]),
      ),
      ...(['drivers', 'vehicles'] as const).flatMap((table) =>
        ['x', 'y'].flatMap((id): [string, Change][] => [
          [`present ${table}`, present(table, id)],
          [`give ${table} ${id}`, give(table, id, 'a1')],
          [`give ${table} ${id}`, give(table, id, 'a2')],
          [`field ${table} ${id} active`, field(table, id, 'active')],
          [`field ${table} ${id} active`, field(table, id, 'active')],
          [`field ${table} ${id} sites`, field(table, id, 'sites')],
        ]),
      ),
    ];
    for (const [a, x] of words) for (const [b, y] of words) expect(clash(x, y), JSON.stringify([x, y])).toBe(a === b);
  });
});

describe('why', () => {
  /** How many changes are needed, held to every set of changes. */
  function held(base: WhyCase, wanted: number, seed: number): number {
    const answer = why(base, zones, wanted);
    const before = decideCase(base, base, zones);
    expect(answer.rule).toBe(before.by.rule);
    if (before.approved && before.limit >= wanted) {
      expect(answer.remedies).toEqual([]);
      return 0;
    }
    const size = answer.remedies[0]?.changes.length ?? 0;
    for (const r of answer.remedies) {
      expect(r.changes).toHaveLength(size);
      const d = decideCase(changed(base, r.changes, zones), base, zones);
      expect(d.approved && d.limit >= wanted).toBe(true);
      expect(r.decision.approved && d.approved && r.decision.limit === d.limit).toBe(true);
    }
    // All sets of three are many: they are tried in full where the choices are few.
    const upTo = naiveChoices(base, wanted).length <= 14 ? 3 : 2;
    for (let n = 1; n <= Math.min(upTo, size || 3); n++) {
      const all = brute(base, n, wanted);
      if (n !== size) {
        expect({ seed, n, all }).toEqual({ seed, n, all: {} });
        continue;
      }
      for (const { changes } of answer.remedies) {
        const at = changes.find((c) => c.kind === 'time')?.at ?? 0;
        expect({ seed, set: told(changes), at }).toEqual({ seed, set: told(changes), at: all[told(changes)] });
      }
      // One credential stands for all that would do as well.
      const many = (c: Change) => (c.kind === 'present' ? 1 + c.alike : 1);
      const stood = answer.remedies.map((r) => r.changes.reduce((product, c) => product * many(c), 1));
      expect({ seed, sets: stood.reduce((sum, n) => sum + n, 0) }).toEqual({ seed, sets: Object.keys(all).length });
      const whoever = (c: Change) => (c.kind === 'present' && c.table === 'vehicles' ? 'a vehicle' : c);
      const lines = answer.remedies.map((r) => JSON.stringify(r.changes.map(whoever)));
      expect(new Set(lines).size).toBe(lines.length);
    }
    return answer.remedies.length === 0 ? 0 : size;
  }

  it('gives every smallest set of changes, confirmed on the whole fleet, and none is smaller', () => {
    const sizes = [0, 0, 0, 0];
    for (let seed = 1; seed <= FLEETS; seed++) {
      const size = held(caseOf(seed), seed % 3 === 0 ? 60_000_000 : 0, seed);
      sizes[size] = (sizes[size] ?? 0) + 1;
    }
    expect(sizes[1]).toBeGreaterThan(FLEETS / 6);
    expect(sizes[2]).toBeGreaterThan(FLEETS / 10);
    expect(sizes[3]).toBeGreaterThan(FLEETS / 60 - 1);
  });

  it('does so for all who could stand there, of whom one stands for all', () => {
    const sizes = [0, 0, 0, 0];
    for (let seed = 1; seed <= FLEETS; seed++) {
      const size = held(seed % 3 === 0 ? alikeCase(seed / 3) : standInCase(seed), 0, seed);
      sizes[size] = (sizes[size] ?? 0) + 1;
    }
    expect(sizes[1]).toBeGreaterThan(FLEETS / 4);
    expect(sizes[2]).toBeGreaterThan(0);
  });
});
