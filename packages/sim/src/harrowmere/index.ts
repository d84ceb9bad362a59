import { type AnyRow, checkRow, emptyFleet, type Fleet, type TableName } from '@fillwright/core/fleet';
import { randomFrom } from '../random.ts';
import { putAllowances, putExpectations, putQuestions, putRoster } from './roster.ts';
import { putProducts, putYards } from './yards.ts';

/** The invented fleet of the demo: three yards, sixty drivers, forty-five vehicles. The same seed gives the same fleet. */
export function harrowmere(seed: string | number = 'harrowmere'): Fleet {
  const fleet = emptyFleet({ name: 'Harrowmere Works Fleet', units: 'us', currency: 'USD' });
  const put = (table: TableName, row: AnyRow) => {
    const wrong = checkRow(table, row);
    if (wrong.length > 0) throw new RangeError(JSON.stringify(wrong));
    (fleet[table] as unknown as Map<string, AnyRow>).set(row.id, Object.freeze(row));
  };
  putProducts(put);
  putQuestions(put);
  putYards(put);
  putAllowances(put);
  putRoster(put, randomFrom(seed));
  putExpectations(put);
  return fleet;
}

export { type PastProving, pastProvings } from './provings.ts';
export { DEMO_TAXES } from './taxes.ts';
export { type Waiting, waitingChanges } from './waiting.ts';

/** The PIN of a driver of the demo: four digits that are never all alike nor in sequence. Known to everybody: for the demo only. */
export function demoPin(driver: string): string {
  const random = randomFrom(`pin/${driver}`);
  const first = random.whole(1, 9);
  return `${first}${(first + 4) % 10}${(first + 1) % 10}${random.whole(0, 9)}`;
}
