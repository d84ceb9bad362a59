import { describe, expect, it } from 'vitest';
import { couldDraw, naiveChoices } from '../../../test/naive-choices.ts';
import { alikeCase, caseOf, earliestAhead, earlyCase, standInCase, zones } from '../../../test/why-case.ts';
import { rightAnswers } from './answers.ts';
import { changed } from './apply.ts';
import { choicesOf } from './choices.ts';
import type { Change } from './types.ts';
import { decideCase } from './why.ts';

type Present = Extract<Change, { kind: 'present' }>;
const FLEETS = Number(process.env.FILLWRIGHT_WHY_FLEETS ?? 60);

const DATES = ['validFrom', 'validUntil'];
const HOLDER = ['active', 'sites', ...DATES];
const LIMITS = ['fillsPerDay', 'perFill', 'perDay', 'perWeek', 'perMonth'];
const FIELDS = {
  ...{ sites: ['active', 'closed'], hoses: ['active', 'terminals', 'mostPerFill'], credentials: ['stopped', ...DATES] },
  ...{
    drivers: HOLDER,
    vehicles: [...HOLDER, 'capacity'],
    allowances: ['products', 'sites', 'times', 'cutOff', ...LIMITS],
  },
};
/** All that can be changed about a request but its moment. */
const EVERYTHING = ['hose', 'pin', 'answer', 'present', 'link', 'give'].concat(
  Object.entries(FIELDS).flatMap(([table, fields]) => fields.map((field) => `${table} ${field}`)),
);

const isPresent = (c: Change): c is Present => c.kind === 'present';

describe('what could be changed about a request', () => {
  it('is all that the rules look at, and nothing that they pass already', () => {
    const seen = new Map<string, number>();
    for (let seed = 1; seed <= 400; seed++) {
      const base = seed % 3 === 0 ? standInCase(seed) : caseOf(seed);
      const wanted = seed % 4 === 0 ? 60_000_000 : 0;
      const offered = choicesOf(base, wanted, zones).filter((c) => c.kind !== 'time');
      const naive = naiveChoices(base, wanted);
      const key = (c: Change) => JSON.stringify(c);
      const rest = (list: readonly Change[]) =>
        list.filter((c) => !isPresent(c)).sort((a, b) => (key(a) < key(b) ? -1 : 1));
      expect(rest(offered), `seed ${seed}`).toEqual(rest(naive));
      // One credential of a kind stands for all of it, and whoever could draw nothing is not offered.
      const could = naive.filter(isPresent).filter((c) => couldDraw(base, c, Math.max(100_000, wanted)));
      const numbers = could.map((c) => c.number);
      const present = offered.filter(isPresent);
      for (const c of present) expect(numbers).toContain(c.number);
      expect(
        present.reduce((sum, c) => sum + 1 + c.alike, 0),
        `seed ${seed}`,
      ).toBe(numbers.length);
      if (!naive.some(isPresent)) {
        const blank = naiveChoices({ ...base, request: { ...base.request, answers: {} } }, wanted);
        const answers = blank.flatMap((c) => (c.kind === 'answer' ? [[c.question, c.answer]] : []));
        expect(rightAnswers(base)).toEqual(Object.fromEntries(answers));
      }
      for (const c of naive) {
        const what = c.kind === 'field' ? `${c.table} ${c.field}` : c.kind;
        seen.set(what, (seen.get(what) ?? 0) + 1);
      }
    }
    expect([...seen.keys()].sort()).toEqual([...EVERYTHING].sort());
  });

  it('is, of those who could stand there, one of each kind: whatever else is changed, it helps with as many as it stands for', () => {
    let unlike = 0;
    for (let seed = 1; seed <= 6 * FLEETS; seed++) {
      const base = seed % 4 === 0 ? alikeCase(seed / 4) : standInCase(seed);
      const offered = choicesOf(base, 0, zones);
      const all = naiveChoices(base, 0).filter(isPresent);
      for (const other of [undefined, ...offered.filter((c) => c.kind !== 'present')]) {
        const helps = (c: Change) => decideCase(changed(base, other ? [other, c] : [c], zones), base, zones).approved;
        const stood = offered.filter(isPresent).filter(helps);
        const many = stood.reduce((sum, c) => sum + 1 + c.alike, 0);
        expect(many, `seed ${seed}: ${JSON.stringify(other)}`).toBe(all.filter(helps).length);
        if (many > stood.length && many < all.length) unlike++;
      }
    }
    expect(unlike).toBeGreaterThan(30);
  });

  it('is, of other moments, the earliest that helps, whatever else is changed', () => {
    const found = { none: 0, alone: 0, beside: 0 };
    for (let seed = 1; seed <= FLEETS; seed++) {
      const base = earlyCase(seed);
      const moments = choicesOf(base, 0, zones).flatMap((c) => (c.kind === 'time' ? [c.at] : []));
      expect(moments.every((at) => at > base.request.at)).toBe(true);
      for (const other of [undefined, ...naiveChoices(base, 0)]) {
        const set = other ? [other] : [];
        if (decideCase(changed(base, set, zones), base, zones).approved) continue;
        const helps = (at: number) =>
          decideCase(changed(base, [...set, { kind: 'time', at }], zones), base, zones).approved;
        const at = earliestAhead(base, set, 0);
        expect(moments.find(helps), `seed ${seed}: ${JSON.stringify(other)}`).toBe(at);
        found[at === undefined ? 'none' : other ? 'beside' : 'alone']++;
      }
    }
    expect(found.alone).toBeGreaterThan(10);
    expect(found.beside).toBeGreaterThan(50);
  });
});
