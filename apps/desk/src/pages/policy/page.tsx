import type { AnyRow, Field } from '@fillwright/core/fleet';
import { RecordEditor } from '../../field/record-editor.tsx';
import { TablePage, type TableTab } from '../../grid/table-page.tsx';
import { Touched } from '../../reach/touched.tsx';
import { AllowancePanel } from './allowance-panel.tsx';

/** Fields of a question that count only for some kinds. */
const countsForQuestion = (field: Field, row: AnyRow): boolean => {
  const counter = row.kind === 'odometer' || row.kind === 'hours';
  if (['leastAdvance', 'mostAdvance', 'whenImplausible'].includes(field.name)) return counter;
  return field.name !== 'accepted' || !counter;
};

const SITE_FIELDS = ['name', 'active', 'identify', 'pin', 'pinTries', 'pinLock', 'questions', 'closed'];

const TABS: readonly TableTab[] = [
  { table: 'allowances', label: 'Allowances', panel: (id) => <AllowancePanel id={id} /> },
  {
    table: 'questions',
    label: 'Questions',
    panel: (id) => <RecordEditor table="questions" id={id} counts={countsForQuestion} />,
  },
  { table: 'products', label: 'Products', panel: (id) => <WithTouched table="products" id={id} /> },
  { table: 'prices', label: 'Prices', panel: (id) => <RecordEditor table="prices" id={id} /> },
  { table: 'costCentres', label: 'Cost centres', panel: (id) => <RecordEditor table="costCentres" id={id} /> },
  {
    table: 'sites',
    label: 'Identification',
    leaveOut: ['address', 'zone'],
    panel: (id) => <WithTouched table="sites" id={id} fields={SITE_FIELDS} />,
  },
];

/** A record, and beside it whom a change of it touches. */
const WithTouched = (props: { table: 'products' | 'sites'; id: string; fields?: readonly string[] }) => (
  <>
    <RecordEditor {...props} />
    <Touched table={props.table} id={props.id} />
  </>
);

export default function PolicyPage() {
  return <TablePage title="Policy" tabs={TABS} />;
}
