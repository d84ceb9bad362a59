import type { FlagReply } from '@fillwright/wire';
import { expect, it } from 'vitest';
import { kindsOf, wished } from './list.ts';

const flag = (given: Partial<FlagReply>): FlagReply => ({
  id: 'G01:fills/a@1',
  code: 'G01',
  title: 'More than the tank holds',
  reason: '',
  next: '',
  source: '',
  at: 1,
  on: [{ table: 'fills', id: 'a' }],
  text: 'Lorry 7 took 90 gal',
  evidence: {},
  site: 'north',
  looked: null,
  ...given,
});
const looked = { at: 2, by: 'Ada Quill', note: 'second tank' };
const all = [
  flag({}),
  flag({ id: '2', looked }),
  flag({ id: '3', code: 'G06', title: 'At an hour', site: null, text: 'Van 3 drew at 03:10' }),
];
const every = { show: 'all', code: undefined, site: undefined, text: undefined } as const;

it('shows what is open, what was looked at, and finds every word in what a flag or the word on it says', () => {
  const ids = (wish: Partial<Parameters<typeof wished>[1]>) => wished(all, { ...every, ...wish }).map((f) => f.id);
  expect(ids({ show: 'open' })).toEqual(['G01:fills/a@1', '3']);
  expect(ids({ show: 'looked at' })).toEqual(['2']);
  expect(ids({ code: 'G06' })).toEqual(['3']);
  expect(ids({ site: 'north' })).toEqual(['G01:fills/a@1', '2']);
  expect(ids({ text: 'QUILL lorry' })).toEqual(['2']);
  expect(ids({ text: 'lorry 03:10' })).toEqual([]);
});

it('lists each kind once, with how many are open', () => {
  expect(kindsOf(all)).toEqual([
    { code: 'G01', title: 'More than the tank holds', open: 1 },
    { code: 'G06', title: 'At an hour', open: 1 },
  ]);
});
