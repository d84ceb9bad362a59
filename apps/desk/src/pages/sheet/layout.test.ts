import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { fleetArbitrary } from '@fillwright/core/test/fleet-arbitrary.ts';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Layout, layout, type Placed, type Segment } from './layout.ts';

const SITE = 'north-yard';
interface Parts {
  tanks: string[];
  pumps: Record<string, { tanks: string[]; kind?: 'submersible' | 'suction' }>;
  islands: Record<string, { terminals?: string[]; hoses?: [number, string][] }>;
}

function yard(parts: Parts): Fleet {
  const fleet = emptyFleet({ name: 'Invented', units: 'us', currency: 'USD' });
  const map = <T extends { id: string }>(rows: T[]) => new Map(rows.map((r) => [r.id, r]));
  const on = { site: SITE };
  const islands = Object.entries(parts.islands);
  return {
    ...fleet,
    sites: map([newRow('sites', { id: SITE, name: 'North yard' })]),
    tanks: map(parts.tanks.map((id) => newRow('tanks', { id, ...on, name: id, product: 'diesel' }))),
    pumps: map(
      Object.entries(parts.pumps).map(([id, p]) =>
        newRow('pumps', { id, ...on, name: id, tanks: p.tanks, kind: p.kind ?? 'submersible' }),
      ),
    ),
    islands: map(islands.map(([id]) => newRow('islands', { id, ...on, name: id }))),
    terminals: map(
      islands.flatMap(([island, i]) =>
        (i.terminals ?? []).map((id) => newRow('terminals', { id, ...on, island, name: id })),
      ),
    ),
    hoses: map(
      islands.flatMap(([island, i]) =>
        (i.hoses ?? []).map(([number, pump]) => newRow('hoses', { id: `h${number}`, ...on, island, number, pump })),
      ),
    ),
  };
}

const touches = (s: Segment, p: Placed) =>
  Math.min(s.x1, s.x2) <= p.x + p.w &&
  Math.max(s.x1, s.x2) >= p.x &&
  Math.min(s.y1, s.y2) <= p.y + p.h &&
  Math.max(s.y1, s.y2) >= p.y;
const overlap = (a: Placed, b: Placed) => a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
const part = (l: Layout, id: string): Placed => {
  const found = l.parts.find((p) => p.id === id);
  if (!found) throw new Error(`${id} is not on the sheet`);
  return found;
};
/** Strict crossings between segments of different lines. */
function crossings(l: Layout): number {
  let n = 0;
  const all = l.lines.flatMap((line) => line.segments.map((s) => ({ line, s })));
  for (const a of all)
    for (const b of all) {
      if (a.line === b.line || a.s.y1 !== a.s.y2 || b.s.x1 !== b.s.x2) continue;
      const [x1, x2] = [Math.min(a.s.x1, a.s.x2), Math.max(a.s.x1, a.s.x2)];
      const [y1, y2] = [Math.min(b.s.y1, b.s.y2), Math.max(b.s.y1, b.s.y2)];
      if (b.s.x1 > x1 && b.s.x1 < x2 && a.s.y1 > y1 && a.s.y1 < y2) n++;
    }
  return n;
}

describe('the sheet of a usual yard', () => {
  const usual = yard({
    tanks: ['diesel', 'petrol'],
    pumps: { 'p-diesel': { tanks: ['diesel'] }, 'p-petrol': { tanks: ['petrol'] } },
    islands: {
      a: {
        terminals: ['ta'],
        hoses: [
          [1, 'p-petrol'],
          [2, 'p-diesel'],
        ],
      },
      b: {
        terminals: ['tb'],
        hoses: [
          [3, 'p-diesel'],
          [4, 'p-diesel'],
        ],
      },
    },
  });
  const drawn = layout(usual, SITE);

  it('runs each line from its pump to every hose of that pump', () => {
    const supply = drawn.lines.find((l) => l.key === 'supply:p-diesel');
    for (const id of ['p-diesel', 'h2', 'h3', 'h4'])
      expect(supply?.segments.some((s) => touches(s, part(drawn, id)))).toBe(true);
    expect(supply?.segments.some((s) => touches(s, part(drawn, 'h1')))).toBe(false);
  });
  it('crosses nothing, and puts the petrol tank left of the diesel tank because its hose is', () => {
    expect(crossings(drawn)).toBe(0);
    expect(part(drawn, 'petrol').x).toBeLessThan(part(drawn, 'diesel').x);
  });
  it('stands a submersible pump on its tank and islands above both', () => {
    const [pump, tank, island] = [part(drawn, 'p-diesel'), part(drawn, 'diesel'), part(drawn, 'a')];
    expect(pump.y + pump.h).toBe(tank.y);
    expect(pump.x).toBeGreaterThanOrEqual(tank.x);
    expect(pump.x + pump.w).toBeLessThanOrEqual(tank.x + tank.w);
    expect(island.y + island.h).toBeLessThan(pump.y);
  });
  it('keeps hoses in the order of their numbers inside their island', () => {
    const [one, two, island] = [part(drawn, 'h1'), part(drawn, 'h2'), part(drawn, 'a')];
    expect(one.x).toBeLessThan(two.x);
    expect(two.x + two.w).toBeLessThanOrEqual(island.x + island.w);
  });
});

describe('other plumbing', () => {
  it('puts a suction pump below its first hose, with a line down to its tank', () => {
    const l = layout(
      yard({
        tanks: ['t'],
        pumps: { s: { tanks: ['t'], kind: 'suction' } },
        islands: {
          a: {
            hoses: [
              [1, 's'],
              [2, 's'],
            ],
          },
        },
      }),
      SITE,
    );
    const pump = part(l, 's');
    const hose = part(l, 'h1');
    expect(pump.x + pump.w / 2).toBe(hose.x + hose.w / 2);
    const line = l.lines.find((x) => x.kind === 'suction');
    expect(line?.segments.some((s) => touches(s, pump))).toBe(true);
    expect(line?.segments.some((s) => touches(s, part(l, 't')))).toBe(true);
  });
  it('joins manifolded tanks once, and stands their two pumps one on each', () => {
    const l = layout(
      yard({
        tanks: ['t1', 't2'],
        pumps: { p1: { tanks: ['t1', 't2'] }, p2: { tanks: ['t1', 't2'] } },
        islands: {
          a: {
            hoses: [
              [1, 'p1'],
              [2, 'p2'],
            ],
          },
        },
      }),
      SITE,
    );
    const joined = l.lines.filter((x) => x.kind === 'manifold');
    expect(joined).toHaveLength(1);
    for (const id of ['t1', 't2']) expect(joined[0]?.segments.some((s) => touches(s, part(l, id)))).toBe(true);
    const under = (pump: string) =>
      ['t1', 't2'].find((t) =>
        touches({ x1: part(l, pump).x + 1, x2: part(l, pump).x + 1, y1: part(l, t).y, y2: part(l, t).y }, part(l, t)),
      );
    expect(new Set([under('p1'), under('p2')]).size).toBe(2);
  });
  it('shows what has no island, no pump or no tank instead of leaving it out', () => {
    const fleet = yard({
      tanks: ['t'],
      pumps: { lost: { tanks: ['elsewhere'] } },
      islands: { a: { hoses: [[1, 'none']] } },
    });
    const astray = { ...fleet, islands: new Map() };
    const l = layout(astray, SITE);
    expect(l.loose).not.toBeNull();
    expect(l.parts.map((p) => p.id).sort()).toEqual(['h1', 'lost', 't']);
  });
  it('draws an empty site as an empty sheet', () => {
    const l = layout(yard({ tanks: [], pumps: {}, islands: {} }), SITE);
    expect(l.parts).toEqual([]);
    expect(l.width).toBeGreaterThan(0);
  });
  it('uncrosses interleaved products where an order without crossings exists', () => {
    const l = layout(
      yard({
        tanks: ['a', 'b', 'c'],
        pumps: { pa: { tanks: ['a'] }, pb: { tanks: ['b'] }, pc: { tanks: ['c'] } },
        islands: {
          i: {
            hoses: [
              [1, 'pc'],
              [2, 'pa'],
              [3, 'pb'],
            ],
          },
        },
      }),
      SITE,
    );
    expect(crossings(l)).toBe(0);
    expect(part(l, 'c').x).toBeLessThan(part(l, 'a').x);
  });
});

describe('any yard', () => {
  const shape = fc
    .record({
      tanks: fc.integer({ min: 0, max: 5 }),
      pumps: fc.array(
        fc.record({
          of: fc.uniqueArray(fc.nat(5), { maxLength: 3 }),
          kind: fc.constantFrom('submersible' as const, 'suction' as const),
        }),
        { maxLength: 6 },
      ),
      islands: fc.array(fc.record({ terminals: fc.nat(2), hoses: fc.array(fc.nat(6), { maxLength: 5 }) }), {
        maxLength: 4,
      }),
    })
    .map((s) => {
      let number = 0;
      return yard({
        tanks: Array.from({ length: s.tanks }, (_, i) => `t${i}`),
        pumps: Object.fromEntries(s.pumps.map((p, i) => [`p${i}`, { tanks: p.of.map((t) => `t${t}`), kind: p.kind }])),
        islands: Object.fromEntries(
          s.islands.map((isl, i) => [
            `i${i}`,
            {
              terminals: Array.from({ length: isl.terminals }, (_, k) => `x${i}-${k}`),
              hoses: isl.hoses.map((p) => [++number, `p${p}`] as [number, string]),
            },
          ]),
        ),
      });
    });

  const holds = (fleet: Fleet, site: string) => {
    const l = layout(fleet, site);
    const expected = (['islands', 'terminals', 'hoses', 'pumps', 'tanks'] as const).flatMap((table) =>
      [...fleet[table].values()].filter((r) => r.site === site).map((r) => `${table} ${r.id}`),
    );
    expect(l.parts.map((p) => `${p.table} ${p.id}`).sort()).toEqual(expected.sort());
    for (const p of l.parts) {
      expect(p.x).toBeGreaterThanOrEqual(0);
      expect(p.x + p.w).toBeLessThanOrEqual(l.width);
      expect(p.y + p.h).toBeLessThanOrEqual(l.height);
    }
    const solid = l.parts.filter((p) => p.table !== 'islands');
    for (const [i, a] of solid.entries())
      for (const b of solid.slice(i + 1)) expect(overlap(a, b), `${a.id} lies on ${b.id}`).toBe(false);
    const segments = l.lines.flatMap((line) => line.segments.map((s) => ({ key: line.key, ...s })));
    for (const s of segments) expect(s.x1 === s.x2 || s.y1 === s.y2).toBe(true);
    return l;
  };

  it('has every part once, none on another, inside the sheet, lines straight', () => {
    fc.assert(
      fc.property(shape, (fleet) => {
        const l = holds(fleet, SITE);
        for (const hose of fleet.hoses.values()) {
          const line = l.lines.find((x) => x.key === `supply:${hose.pump}`);
          if (fleet.pumps.has(hose.pump)) expect(line?.segments.some((s) => touches(s, part(l, hose.id)))).toBe(true);
        }
      }),
      { numRuns: 150 },
    );
  });
  it('lays out whatever passes the row schemas', () => {
    fc.assert(
      fc.property(fleetArbitrary(4), (fleet) => {
        for (const site of [...fleet.sites.keys(), 'elsewhere']) holds(fleet, site);
      }),
      { numRuns: 40 },
    );
  });
  it('never draws two lines on top of each other along a stretch', () => {
    fc.assert(
      fc.property(shape, (fleet) => {
        const l = layout(fleet, SITE);
        const verticals = l.lines.flatMap((line) =>
          line.segments.filter((s) => s.x1 === s.x2).map((s) => ({ key: line.key, ...s })),
        );
        for (const a of verticals)
          for (const b of verticals) {
            if (a.key >= b.key || a.x1 !== b.x1) continue;
            const [a1, a2] = [Math.min(a.y1, a.y2), Math.max(a.y1, a.y2)];
            const [b1, b2] = [Math.min(b.y1, b.y2), Math.max(b.y1, b.y2)];
            expect(Math.min(a2, b2) - Math.max(a1, b1), `${a.key} on ${b.key}`).toBeLessThanOrEqual(0);
          }
      }),
      { numRuns: 150 },
    );
  });
});
