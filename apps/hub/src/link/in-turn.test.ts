import { expect, test } from 'vitest';
import { inTurn } from './in-turn.ts';

/** A task that ends when told. */
function held(name: string, said: string[]) {
  let end = () => {};
  let fail = (_: Error) => {};
  const told = new Promise<void>((resolve, reject) => {
    end = resolve;
    fail = reject;
  });
  const task = () => {
    said.push(`${name} begins`);
    return told.then(() => void said.push(`${name} ends`));
  };
  return { task, end, fail };
}

test('tasks of one key wait for each other, those of another do not, and a failure holds nobody up', async () => {
  const turns = inTurn();
  const said: string[] = [];
  const [first, second, other] = [held('first', said), held('second', said), held('other', said)];
  const failing = turns.do('north', first.task);
  const waiting = turns.do('north', second.task);
  const aside = turns.do('south', other.task);
  other.end();
  await aside;
  expect(said).toEqual(['first begins', 'other begins', 'other ends']);
  first.fail(new Error('no database'));
  await expect(failing).rejects.toThrow('no database');
  second.end();
  await waiting;
  expect(said.slice(3)).toEqual(['second begins', 'second ends']);
});

test('done waits for what was begun', async () => {
  const turns = inTurn();
  const said: string[] = [];
  const one = held('one', said);
  void turns.do('north', one.task);
  const done = turns.done().then(() => said.push('all done'));
  await Promise.resolve();
  one.end();
  await done;
  expect(said).toEqual(['one begins', 'one ends', 'all done']);
});
