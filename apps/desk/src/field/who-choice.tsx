import { type Fleet, fieldsOf } from '@fillwright/core/fleet';
import { FieldInput } from './field-input.tsx';
import './field.css';
import { Choice } from './choice.tsx';

/** A driver, a vehicle or both; or a department. */
export interface Who {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly department: string | null;
}

/** Who is meant, out of the address: a department goes before the others. */
export function whoIn(where: Readonly<Record<string, string | undefined>>): Who {
  const { driver = null, vehicle = null, department = null } = where;
  return department === null ? { driver, vehicle, department } : { driver: null, vehicle: null, department };
}

const credentialField = (name: string) => fieldsOf('credentials').find((f) => f.name === name);

/** The fields in which somebody chooses who is meant; `change` puts it into the address. */
export function WhoChoice(props: {
  fleet: Fleet;
  who: Who;
  change: (part: Readonly<Record<string, string | undefined>>) => void;
}) {
  const { fleet, who, change } = props;
  const holders = [...fleet.drivers.values(), ...fleet.vehicles.values()];
  const departments = [...new Set(holders.map((h) => h.department).filter((d) => d !== ''))].sort();
  return (
    <>
      {(['driver', 'vehicle'] as const).map((kind) => {
        const field = credentialField(kind);
        return (
          field && (
            <FieldInput
              key={kind}
              field={field}
              value={who[kind]}
              fleet={fleet}
              onValue={(id) => {
                change({ [kind]: id === null ? undefined : String(id), department: undefined });
                return undefined;
              }}
            />
          )
        );
      })}
      <Choice
        label="Or a department"
        items={[['', 'none'], ...departments.map((d) => [d, d] as const)]}
        value={who.department ?? ''}
        choose={(id) => change({ department: id || undefined, driver: undefined, vehicle: undefined })}
      />
    </>
  );
}
