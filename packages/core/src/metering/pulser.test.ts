import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beginPulser, type Edge, type PulserDoubt, type PulserSetup, shortestEdgeUs, takeEdge } from './pulser.ts';

const TWO: PulserSetup = { kind: 'two', mostPer1000s: 33_334 };
const ONE: PulserSetup = { kind: 'single', mostPer1000s: 33_334 };
/** Places of the forward turn, as drawn in any text on incremental encoders: a Gray code, one channel at a time. */
const TURN = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
] as const;

/** Edges of a shaft that is turned by these quarters, each after so long. */
function shaft(moves: readonly { by: 1 | -1; afterUs: number }[], from = 0): Edge[] {
  let place = from;
  let atUs = 0;
  return moves.map(({ by, afterUs }) => {
    place = (place + by + 4) % 4;
    atUs += afterUs;
    const [a, b] = TURN[place] as readonly [0 | 1, 0 | 1];
    return { atUs, a, b };
  });
}
const forwards = (quarters: number, afterUs = 20_000) =>
  shaft(Array.from({ length: quarters }, () => ({ by: 1 as const, afterUs })));

function read(setup: PulserSetup, edges: readonly Edge[], begin: Edge = { atUs: 0, a: 0, b: 0 }) {
  let state = beginPulser(begin);
  let added = 0;
  const doubts: PulserDoubt[] = [];
  for (const edge of edges) {
    const next = takeEdge(setup, state, edge);
    state = next.state;
    added += next.added;
    if (next.doubt) doubts.push(next.doubt);
  }
  expect(state.count).toBe(added);
  return { count: added, doubts };
}

describe('two channels', () => {
  it('count one pulse a turn forwards, at any speed that fuel can have', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: shortestEdgeUs(TWO), max: 400_000 }), { maxLength: 400 }), (gaps) => {
        const edges = shaft(gaps.map((afterUs) => ({ by: 1, afterUs })));
        expect(read(TWO, edges)).toEqual({ count: Math.floor(gaps.length / 4), doubts: [] });
      }),
      { seed: 11 },
    );
  });

  it('never count twice what shakes to and fro: the count is the farthest whole turn', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(1 as const, 1 as const, 1 as const, -1 as const), { maxLength: 300 }),
        (bys) => {
          const { count } = read(TWO, shaft(bys.map((by) => ({ by, afterUs: 20_000 }))));
          let place = 0;
          let farthest = 0;
          for (const by of bys) {
            place += by;
            farthest = Math.max(farthest, place);
          }
          expect(count).toBeLessThanOrEqual(Math.floor(farthest / 4));
        },
      ),
      { seed: 12 },
    );
  });

  it('notice each single edge that is missed or told twice', () => {
    fc.assert(
      fc.property(fc.integer({ min: 12, max: 120 }), fc.nat(), fc.boolean(), (n, where, drop) => {
        const edges = forwards(n);
        const at = 1 + (where % (n - 3));
        const edge = edges[at] as Edge;
        const wrong = drop ? edges.toSpliced(at, 1) : edges.toSpliced(at, 0, { ...edge, atUs: edge.atUs - 1_000 });
        expect(read(TWO, wrong).doubts).toEqual([drop ? 'missed' : 'extra']);
      }),
      { seed: 13 },
    );
  });

  it('notice that they run back, that wires are swapped, and that one of them stands', () => {
    const back = shaft(Array.from({ length: 4 }, () => ({ by: -1, afterUs: 20_000 })));
    expect(read(TWO, back)).toEqual({ count: 0, doubts: ['reversed'] });
    const swapped = forwards(8).map(({ atUs, a, b }) => ({ atUs, a: b, b: a }));
    expect(read(TWO, swapped)).toEqual({ count: 0, doubts: ['reversed', 'reversed'] });
    for (const channel of ['a', 'b'] as const) {
      let before: 0 | 1 = 0;
      const seen = forwards(40)
        .map((e) => ({ ...e, [channel]: 0 as const }))
        .filter((e) => {
          const level = channel === 'a' ? e.b : e.a;
          const changed = level !== before;
          before = level;
          return changed;
        });
      const { count, doubts } = read(TWO, seen);
      expect(count).toBe(0);
      expect(doubts).toContain('stuck');
    }
  });

  it('notice chatter and a clock that goes back', () => {
    expect(read(TWO, forwards(40, 100)).doubts).toContain('chatter');
    expect(read(TWO, forwards(8).reverse()).doubts).toContain('order');
  });
});

describe('one channel', () => {
  const contact = (pulses: number, halfUs = 20_000): Edge[] =>
    Array.from({ length: 2 * pulses }, (_, i) => ({ atUs: (i + 1) * halfUs, a: i % 2 === 0 ? 1 : 0, b: 0 }));

  it('counts rises, and a bounce now and then is no pulse', () => {
    expect(read(ONE, contact(50))).toEqual({ count: 50, doubts: [] });
    const bounced = contact(50).flatMap((e, i) =>
      i % 40 === 0
        ? [e, { atUs: e.atUs + 50, a: 0 as const, b: 0 as const }, { atUs: e.atUs + 90, a: 1 as const, b: 0 as const }]
        : [e],
    );
    expect(read(ONE, bounced)).toEqual({ count: 50, doubts: [] });
  });

  it('doubts a contact that bounces again and again, and a level told twice', () => {
    const bounced = contact(20).flatMap((e) =>
      e.a === 1
        ? [e, { atUs: e.atUs + 50, a: 0 as const, b: 0 as const }, { atUs: e.atUs + 90, a: 1 as const, b: 0 as const }]
        : [e],
    );
    expect(read(ONE, bounced).doubts).toContain('chatter');
    expect(read(ONE, contact(4).toSpliced(3, 1)).doubts).toEqual(['extra']);
  });
});
