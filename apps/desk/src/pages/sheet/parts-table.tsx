import type { Finding } from '@fillwright/core/findings';
import { type Fleet, rowsOf, TABLES } from '@fillwright/core/fleet';
import { findingsAt } from '../../data/findings.ts';
import { nameOf } from '../../data/where.ts';
import { Heads } from '../../look/heads.tsx';
import { volumeText } from '../../show/amounts.ts';
import type { PartTable } from './layout.ts';
import { partName } from './names.ts';

const ORDER: readonly PartTable[] = ['islands', 'terminals', 'hoses', 'pumps', 'tanks'];

/** What a part is joined to and what it holds, in words. */
function joinedTo(fleet: Fleet, table: PartTable, id: string): string {
  switch (table) {
    case 'hoses': {
      const hose = fleet.hoses.get(id);
      if (!hose) return '';
      const terminals = hose.terminals.map((t) => nameOf(fleet, 'terminals', t)).join(', ') || 'no terminal';
      return `Fed by ${nameOf(fleet, 'pumps', hose.pump)}; chosen from ${terminals}; channel ${hose.channel}`;
    }
    case 'pumps': {
      const pump = fleet.pumps.get(id);
      return pump ? `Draws from ${pump.tanks.map((t) => nameOf(fleet, 'tanks', t)).join(' and ') || 'no tank'}` : '';
    }
    case 'tanks': {
      const tank = fleet.tanks.get(id);
      return tank
        ? `Holds ${volumeText(fleet, tank.capacity, 0)}, safe to ${tank.safeFill} %, low at ${volumeText(fleet, tank.low, 0)}`
        : '';
    }
    case 'terminals': {
      const terminal = fleet.terminals.get(id);
      return terminal
        ? `Display ${terminal.columns} by ${terminal.rows}, ${terminal.paper === null ? 'no printer' : `receipts ${terminal.paper} wide`}`
        : '';
    }
    case 'islands':
      return '';
  }
}

/** Everything that the drawing shows, as a table: read by screen readers, printed, and shown on demand. */
export function PartsTable({
  fleet,
  site,
  findings,
  shown,
}: {
  fleet: Fleet;
  site: string;
  findings: readonly Finding[];
  shown: boolean;
}) {
  return (
    <div className={shown ? 'sheet-table' : 'sheet-table only-read'}>
      <table className="table">
        <caption className="unseen">Parts of {fleet.sites.get(site)?.name ?? site}</caption>
        <Heads of={['Kind', 'Part', 'Joined to', 'Findings']} />
        <tbody>
          {ORDER.flatMap((table) =>
            [...rowsOf(fleet, table).values()]
              .filter((row) => row.site === site)
              .map((row) => (
                <tr key={`${table}/${row.id}`}>
                  <td>{TABLES[table].one}</td>
                  <th scope="row">{partName(fleet, { table, id: row.id })}</th>
                  <td>{joinedTo(fleet, table, row.id)}</td>
                  <td>
                    {findingsAt(findings, table, row.id)
                      .map((f) => `${f.severity}: ${f.title}`)
                      .join('; ')}
                  </td>
                </tr>
              )),
          )}
        </tbody>
      </table>
    </div>
  );
}
