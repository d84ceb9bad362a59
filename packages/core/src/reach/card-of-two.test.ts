import { describe, expect, it } from 'vitest';
import { type Card, drafted, LITRE, type Rows, yard } from '../../test/few.ts';

const gained = (drivers: string, vehicles: string) => [
  { kind: 'gained', drivers, vehicles, before: [0, 0], after: [40, 40], witness: expect.any(String) },
];

/** Whoever has no card of their own that is good on the first day gains there what one more card lets them do. */
describe('a card that names a driver and a vehicle', () => {
  const vehicles: Card[] = [
    ['21', 'v1'],
    ['22', 'v2'],
  ];
  const drivers: Card[] = [
    ['11', 'd1'],
    ['12', 'd2'],
  ];
  const later = (cards: readonly Card[]) => cards.map(([number, names]): Card => [number, names, 'second']);
  const both: Card = ['50', 'd1 v1'];

  it('lets the two of it draw as before, so that nobody gains where there is nobody else', () => {
    const draft = drafted(yard([['11', 'd1', 'second'], ['21', 'v1'], both]), yard([['11', 'd1'], ['21', 'v1'], both]));
    expect(draft.read()).toEqual([]);
    expect(draft.whole().groups).toEqual([]);
    expect(draft.touched()).toEqual(['', '']);
    // Another who is no different but for the card gains.
    const beside = drafted(yard([...later(drivers), ['21', 'v1'], both]), yard([...drivers, ['21', 'v1'], both]));
    expect(beside.read()).toEqual(gained('d2', 'v1'));
    expect(beside.touched()).toEqual(['d2', 'v1']);
  });

  it('is good on its own days: where it moves to another day, where its hose gives more, and where its site is closed', () => {
    const at = (days: Card[2], litres: number, closed: readonly string[] = []) =>
      yard([['11', 'd1', 'second'], ['21', 'v1'], ...(days ? [['50', 'd1 v1', days] as const] : [])], {
        sites: [{ id: 's', name: 's', zone: 'UTC', identify: 'both', closed: [...closed] }],
        hoses: [{ id: 'h', site: 's', product: 'p', terminals: ['t'], mostPerFill: litres * LITRE }],
      });
    const points = ({ live }: ReturnType<typeof drafted>) => live.difference().groups.map((g) => [g.kind, g.points]);
    const draft = drafted(at(undefined, 20), at('first', 20));
    expect(points(draft)).toEqual([['gained', 1440n]]);
    draft.take(at('second', 20));
    expect(points(draft)).toEqual([]);
    draft.take(at('first', 20));
    expect(points(draft)).toEqual([['gained', 1440n]]);
    expect(points(drafted(at('first', 20), at('first', 30)))).toEqual([['raised', 2880n]]);
    expect(points(drafted(at('first', 20), at('first', 20, ['2026-03-06'])))).toEqual([['lost', 1440n]]);
  });

  it('leaves a vehicle unnamed that, once another driver is gone, is left with the one of its card', () => {
    const draft = drafted(yard([...later(drivers), ...vehicles, both]), yard([...drivers, ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1 d2', 'v1 v2'));
    expect(draft.edit(yard([['11', 'd1'], ['12', 'd2', 'second'], ...vehicles, both]))).toEqual(gained('d1', 'v2'));
  });

  it('leaves a driver unnamed who, once another vehicle is gone, is left with the one of the card', () => {
    const draft = drafted(yard([...drivers, ...later(vehicles), both]), yard([...drivers, ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1 d2', 'v1 v2'));
    expect(draft.edit(yard([...drivers, ['21', 'v1'], ['22', 'v2', 'second'], both]))).toEqual(gained('d2', 'v1'));
  });

  it('keeps a vehicle from being named until another driver gains it', () => {
    const running = yard([...later(drivers), ...vehicles, both]);
    const draft = drafted(running, yard([['11', 'd1'], ['12', 'd2', 'second'], ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1', 'v2'));
    expect(draft.edit(yard([...drivers, ...vehicles, both]))).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('keeps a driver from being named until another vehicle gains them', () => {
    const running = yard([...drivers, ...later(vehicles), both]);
    const draft = drafted(running, yard([...drivers, ['21', 'v1'], ['22', 'v2', 'second'], both]));
    expect(draft.read()).toEqual(gained('d2', 'v1'));
    expect(draft.edit(yard([...drivers, ...vehicles, both]))).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('speaks of those whom it names now, also where they are no different from those of before', () => {
    /** Drivers' own cards are no good on the first day any more, which only pairs that have a card keep; then other pairs have it. */
    const lost = (names: string, was: readonly string[], is: readonly string[]) => {
      const own = names.split(' ').map((id, n): Card => [`${10 + n}`, id]);
      const draftOf = (pairs: readonly string[]) =>
        yard([
          ...later(own.filter(([, id]) => id.startsWith('d'))),
          ...own.filter(([, id]) => id.startsWith('v')),
          ...pairs.map((pair, n): Card => [`5${n}`, pair, 'first']),
        ]);
      const draft = drafted(yard(own), draftOf(was));
      const read = (pairs: readonly string[]) => {
        const [group, ...others] = draft.read();
        expect([group?.kind, others]).toEqual(['lost', []]);
        expect(pairs).not.toContain(group?.witness);
        return `${group?.drivers}, ${group?.vehicles}`;
      };
      const first = read(was);
      draft.take(draftOf(is));
      return [first, read(is)];
    };
    const two = ['d1 v1', 'd2 v2'];
    const all = 'd1 d2, v1 v2';
    expect(lost('d1 d2 v1 v2', two, ['d1 v2', 'd2 v2'])).toEqual([all, 'd1 d2, v1']);
    expect(lost('d1 d2 v1 v2', two, ['d1 v1', 'd1 v2'])).toEqual([all, 'd2, v1 v2']);
    expect(lost('d1 d2 v1 v2 v3', two, ['d1 v3', 'd2 v3'])).toEqual([`${all} v3`, all]);
    expect(lost('d1 d2 d3 v1 v2', two, ['d3 v1', 'd3 v2'])).toEqual(['d1 d2 d3, v1 v2', all]);
  });

  it('leaves those unnamed who, once others are gone, are left with more than one of their cards', () => {
    const own: Card[] = [...drivers, ['13', 'd3'], ...vehicles, ['23', 'v3']];
    /** Of whom it is said no own card is good on the first day, before; and of whom still. */
    const gains = (gaining: string, left: string, pairs: readonly string[]) => {
      const at = (no: string) =>
        yard([
          ...own.map(([number, id]): Card => (no.includes(id) ? [number, id, 'second'] : [number, id])),
          ...pairs.map((names, n): Card => [`5${n}`, names]),
        ]);
      const draft = drafted(at(gaining), at(''));
      draft.read();
      return draft.edit(at(left));
    };
    expect(gains('v1 v2 v3', 'v3', ['d1 v1', 'd1 v2'])).toEqual(gained('d2 d3', 'v1 v2'));
    expect(gains('d1 d2 d3', 'd3', ['d1 v1', 'd2 v1'])).toEqual(gained('d1 d2', 'v2 v3'));
  });
});

/** Two places, at the second of which one more vehicle comes: none of the vehicles has a card of its own until the draft. */
describe('a card that names a driver and a vehicle of whom others meet more', () => {
  const holder = (id: string) => ({ id, name: id, allowances: ['a'] });
  const places: Rows = {
    sites: ['s', 't'].map((id) => ({ id, name: id, zone: 'UTC', identify: 'both' as const })),
    hoses: ['s', 't'].map((site) => ({ id: `h${site}`, site, product: 'p', mostPerFill: 100 * LITRE })),
    drivers: ['d1', 'd2'].map(holder),
    vehicles: [holder('v1'), { ...holder('v2'), sites: ['t'] }],
  };
  const read = (cards: readonly Card[]) => {
    const draft: Card[] = [...cards, ['21', 'v1'], ['22', 'v2']];
    return drafted(yard(cards, places), yard(draft, places)).read();
  };

  it('leaves its driver unnamed at the one place, not at the other', () => {
    const drivers: Card[] = [
      ['11', 'd1'],
      ['12', 'd2'],
      ['50', 'd1 v1'],
    ];
    expect(read(drivers)).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('leaves its driver unnamed at the one place where only another gains it there, not at the other', () => {
    const drivers: Card[] = [
      ['11', 'd1'],
      ['12', 'd2', 'second'],
      ['50', 'd1 v1'],
    ];
    expect(read(drivers)).toEqual(gained('d1 d2', 'v1 v2'));
  });
});
