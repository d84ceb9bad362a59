import { describe, expect, it } from 'vitest';
import { type Mapping, readMapping, TARGETS, withTarget } from './mapping.ts';

const column = (heading: string, ...to: Mapping['columns'][number]['to']) => ({
  heading,
  to,
  confidence: 0.5,
  why: 'a guess',
});
const mapping: Mapping = {
  columns: [
    column('First', { table: 'drivers', field: 'name' }),
    column('Last'),
    column('Dept', { table: 'drivers', field: 'department' }),
  ],
  cardOf: 'driver',
};

describe('a corrected mapping', () => {
  it('joins two columns that go to one field, in their order, and parts them again', () => {
    const both = withTarget(mapping, 1, 0, 'drivers.name');
    expect(both.columns.map((c) => c.to[0]?.part)).toEqual([1, 2, undefined]);
    expect(withTarget(both, 0, 0, '').columns.map((c) => c.to)).toEqual([
      [],
      [{ table: 'drivers', field: 'name' }],
      [{ table: 'drivers', field: 'department' }],
    ]);
  });

  it('lets one column go to two fields, each once', () => {
    const also = withTarget(mapping, 2, 1, 'vehicles.department');
    expect(also.columns[2]?.to).toHaveLength(2);
    expect(withTarget(also, 2, 1, 'drivers.department').columns[2]?.to).toHaveLength(1);
  });

  it('says who chose, and leaves the other columns as they were guessed', () => {
    const changed = withTarget(mapping, 1, 0, 'vehicles.name');
    expect(changed.columns.map((c) => c.why)).toEqual(['a guess', 'You chose it.', 'a guess']);
  });

  it('offers every field but ids, and reads nothing out of what is no mapping', () => {
    expect(TARGETS.flatMap((g) => g.targets.map(([key]) => key))).not.toContain('drivers.id');
    expect(TARGETS[2]?.targets.map(([key]) => key)).toContain('credentials.number');
    expect(readMapping(null)).toBeUndefined();
    expect(readMapping(mapping)).toEqual(mapping);
  });
});
