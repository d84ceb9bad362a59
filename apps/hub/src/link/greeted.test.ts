import { expect, test } from 'vitest';
import { noneGreeted } from './greeted.ts';

test('a site is greeted once, and again after it was gone', async () => {
  const greeted = noneGreeted();
  let times = 0;
  const greet = async () => void times++;
  await greeted.once('marrow', 'north', greet);
  await greeted.once('marrow', 'north', greet);
  expect(times).toBe(1);
  await greeted.once('vale', 'north', greet);
  expect(greeted.all()).toEqual([
    ['marrow', 'north'],
    ['vale', 'north'],
  ]);
  greeted.forget('marrow', 'north');
  await greeted.once('marrow', 'north', greet);
  expect(times).toBe(3);
  greeted.forgetAll();
  expect(greeted.all()).toEqual([]);
});

test('a site whose greeting failed half way is greeted again at its next word: a stop may be among what it is owed', async () => {
  const greeted = noneGreeted();
  const failing = greeted.once('marrow', 'north', async () => {
    throw new Error('no database');
  });
  await expect(failing).rejects.toThrow('no database');
  let times = 0;
  await greeted.once('marrow', 'north', async () => void times++);
  expect(times).toBe(1);
});
