import { expect, it } from 'vitest';
import { approval, driver } from '../../test/island/yard.ts';
import { displayOf } from './display.ts';
import type { Effect } from './types.ts';

type Driver = ReturnType<typeof driver>;
type Show = Extract<Effect, { do: 'show' }>;
const last = (d: Driver, terminal = 't1'): Show | undefined =>
  d.effects().findLast((e): e is Show => e.do === 'show' && e.terminal === terminal);
const glass = (d: Driver, terminal = 't1', columns = 20) => {
  const shown = last(d, terminal);
  return shown ? displayOf(shown.screen, shown.language, shown.data, { columns, rows: 4 }).lines : [];
};
const pulse = (d: Driver, h: string, by: number, ms = 600) => {
  d.wait(ms);
  d.feed({ kind: 'pulses', hose: h, count: (d.hose(h).count ?? 0) + by });
};

it('shows hose, quantity and amount while fuel flows, and afterwards what was filled', () => {
  const d = driver().ready().flowing();
  pulse(d, 'h1', 50);
  // 100 pulses at 100 a litre are 1 l, at 1.50 EUR the litre: by hand.
  expect(last(d)?.screen).toBe('flowing');
  expect(glass(d)).toEqual([
    ' Hose 1: fuel flows ',
    'DIESEL        1.00 l',
    'Amount      1.50 EUR',
    'Up to         20.0 l',
  ]);
  d.hangUp();
  expect(last(d)?.screen).toBe('filled');
  expect(glass(d)).toEqual([
    '   Hose 1: filled   ',
    'DIESEL        1.00 l',
    'Amount      1.50 EUR',
    'Price     1.50 EUR/l',
  ]);
  d.due('terminal', 't1', 'shown');
  expect(d.session().name).toBe('idle');
});

it('says no amount where no price is in force', () => {
  const free = approval();
  if (!free.approved) throw new Error('approved');
  const d = driver()
    .ready()
    .armed('t1', 'h1', { ...free, price: null });
  pulse(d, 'h1', 50, 2_000);
  expect(glass(d).join('')).not.toContain('EUR');
  expect(glass(d)[1]).toBe('DIESEL        0.50 l');
});

it('shows the flow to whoever fills, in their language, once nobody stands at the terminal', () => {
  const d = driver().ready();
  d.feed({ kind: 'language', terminal: 't1', language: 'es' });
  d.armed();
  d.due('terminal', 't1', 'shown');
  expect(last(d)).toMatchObject({ screen: 'idle', language: 'en' });
  pulse(d, 'h1', 50, 2_000);
  expect(last(d)).toMatchObject({ screen: 'flowing', language: 'es', data: { number: 1, ul: 500_000 } });
  d.hangUp();
  expect(last(d)).toMatchObject({ screen: 'filled', language: 'es' });
  // The next person begins in the terminal’s own language, and is not kept waiting.
  d.feed({ kind: 'credential', terminal: 't1', number: '9' });
  expect(d.session()).toMatchObject({ name: 'asking', language: 'en' });
});

it('lets the next person begin while it flows, in a language that they choose, and does not speak in between', () => {
  const d = driver().ready().flowing();
  d.feed({ kind: 'language', terminal: 't1', language: 'fr' });
  expect(last(d)).toMatchObject({ screen: 'flowing', language: 'fr' });
  d.deciding('t1', 'h2');
  expect(d.session()).toMatchObject({ name: 'deciding', language: 'fr' });
  pulse(d, 'h1', 50);
  expect(last(d)?.screen).toBe('wait');
  d.decided();
  d.durable('authorised');
  d.feed({ kind: 'armed', hose: 'h2', count: 1_000 });
  // What the second person must do is not hidden by the first one’s flow.
  pulse(d, 'h1', 50);
  expect(last(d)).toMatchObject({ screen: 'authorised', data: { number: 2 } });
  pulse(d, 'h2', 30);
  expect(last(d)).toMatchObject({ screen: 'flowing', data: { number: 2, ul: 300_000, others: ['1 DIESEL'] } });
  expect(glass(d)).toEqual(['2 DIESEL      0.30 l', '1 DIESEL      1.50 l', ' '.repeat(20), ' '.repeat(20)]);
  d.hangUp('h2');
  expect(last(d)).toMatchObject({ screen: 'filled', data: { number: 2, ul: 300_000 } });
  d.due('terminal', 't1', 'shown');
  pulse(d, 'h1', 50);
  expect(last(d)).toMatchObject({ screen: 'flowing', data: { number: 1 } });
});

it('tells a display twice a second at most, and the end always', () => {
  const d = driver().ready().flowing();
  const shows = () => d.effects().filter((e) => e.do === 'show' && e.screen === 'flowing').length;
  const before = shows();
  for (let i = 0; i < 20; i++) pulse(d, 'h1', 5, 100);
  expect(shows() - before).toBe(4);
});

it('frees the terminal when nothing was drawn, and a cancelled fill stops', () => {
  const d = driver().ready().armed();
  d.feed({ kind: 'lifted', hose: 'h1' });
  d.hangUp();
  expect(d.session().name).toBe('idle');
  const e = driver().ready().flowing();
  e.feed({ kind: 'key', terminal: 't1', key: 'cancel' });
  expect(e.hose().name).toBe('stopping');
  expect(e.session().name).toBe('idle');
});

it('prints the receipt of what it shows as filled', () => {
  const d = driver().ready().flowing();
  d.hangUp();
  d.feed({ kind: 'receipt', terminal: 't1' });
  expect(d.effects().findLast((e) => e.do === 'print')).toMatchObject({ receipt: { hose: 1, ul: 500_000 } });
  expect(last(d)?.screen).toBe('receipt');
});
