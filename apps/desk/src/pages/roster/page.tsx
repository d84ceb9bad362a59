import { TablePage, type TableTab } from '../../grid/table-page.tsx';
import { CredentialPanel } from './credential-panel.tsx';
import { HolderPanel } from './holder-panel.tsx';
import './roster.css';

const TABS: readonly TableTab[] = [
  { table: 'drivers', label: 'Drivers', panel: (id) => <HolderPanel table="drivers" id={id} /> },
  { table: 'vehicles', label: 'Vehicles', panel: (id) => <HolderPanel table="vehicles" id={id} /> },
  { table: 'credentials', label: 'Credentials', panel: (id) => <CredentialPanel id={id} /> },
];

export default function RosterPage() {
  return <TablePage title="Roster" tabs={TABS} />;
}
