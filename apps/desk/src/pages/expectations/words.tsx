import { type Problem, problem } from '@fillwright/core/errors';
import { type Expectation, type Field, type Fleet, fieldsOf } from '@fillwright/core/fleet';
import { subjectOf } from '@fillwright/core/reach';
import { useDraft } from '../../data/draft.ts';
import { nameOf } from '../../data/where.ts';
import { FieldInput } from '../../field/field-input.tsx';
import { type Option, option, recordOptions } from '../../field/suggest.ts';
import { TextEntry } from '../../field/text-entry.tsx';

interface WordsProps {
  readonly row: Expectation;
  readonly fleet: Fleet;
  readonly may: boolean;
}

const SUBJECTS = { driver: 'drivers', vehicle: 'vehicles', costCentre: 'costCentres' } as const;

/** The words of one expectation, each chosen from what the fleet has; only words that go together are offered. */
export function Words({ row, fleet, may }: WordsProps) {
  const { edit } = useDraft();
  const { subject, others } = subjectOf(row.who);
  const set = (fields: Partial<Expectation>): Problem | undefined => {
    const done = edit([{ op: 'set', table: 'expectations', id: row.id, fields }], 'An expectation');
    return done.ok ? undefined : done.error[0];
  };
  const quantity = row.must === 'atLeast' || row.must === 'atMost';
  return (
    <div className="wish-words">
      {fieldsOf('expectations').map((field) => {
        if (field.name === 'id') return null;
        if (field.name === 'whoName')
          return subject === 'everyone' ? null : <Whom key="whoName" {...{ row, fleet, may, set }} />;
        if (field.name === 'quantity' && !quantity) return null;
        return (
          <div key={field.name} className={`field kind-${field.kind}${field.name === 'wish' ? ' wish-own' : ''}`}>
            <FieldInput
              field={field.name === 'must' && others ? onlyWithOthers(field) : field}
              value={row[field.name as keyof Expectation]}
              fleet={fleet}
              disabled={!may}
              onValue={(value) => set(changeOf(row, field.name, value))}
            />
          </div>
        );
      })}
    </div>
  );
}

/** 'Nobody but' goes with 'can' and 'at least' only. */
function onlyWithOthers(field: Field): Field {
  const { can = '', atLeast = '' } = field.choices ?? {};
  return { ...field, choices: { can, atLeast } };
}

/** A word that no longer goes with a changed one changes with it, in the same edit. */
function changeOf(row: Expectation, name: string, value: unknown): Partial<Expectation> {
  if (name !== 'who') return { [name]: value };
  const who = value as Expectation['who'];
  const [now, next] = [subjectOf(row.who), subjectOf(who)];
  return {
    who,
    ...(now.subject === next.subject ? {} : { whoName: '' }),
    ...(next.others && row.must !== 'can' && row.must !== 'atLeast' ? { must: 'can' as const } : {}),
  };
}

function Whom({ row, fleet, may, set }: WordsProps & { set: (fields: Partial<Expectation>) => Problem | undefined }) {
  const { subject } = subjectOf(row.who);
  const table = subject === 'everyone' || subject === 'department' ? undefined : SUBJECTS[subject];
  const options = table ? recordOptions(fleet, table) : departmentsOf(fleet);
  const commit = (text: string): Problem | undefined => {
    const typed = text.trim().toLowerCase();
    const chosen = options.find((o) => o.value === text) ?? options.find((o) => o.text.toLowerCase() === typed);
    return chosen ? set({ whoName: chosen.value }) : problem('FW-204', { found: text });
  };
  return (
    <div className="field">
      <span className="field-label" aria-hidden="true">
        Of which
      </span>
      <TextEntry
        label="Of which"
        text={table && row.whoName !== '' ? nameOf(fleet, table, row.whoName) : row.whoName}
        commit={commit}
        options={options}
        placeholder="choose"
        disabled={!may}
      />
    </div>
  );
}

function departmentsOf(fleet: Fleet): readonly Option[] {
  const names = new Set<string>();
  for (const table of ['drivers', 'vehicles'] as const)
    for (const row of fleet[table].values()) if (row.department !== '') names.add(row.department);
  return [...names].sort().map((name) => option(name, name));
}
