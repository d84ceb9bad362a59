import { useMemo, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useFindings } from '../../data/findings.ts';
import { useAsk } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { useWhere } from '../../data/where.ts';
import { LongFile } from '../../show/long-file.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { Drawing } from './drawing.tsx';
import { Face } from './face.tsx';
import type { PartRef, PartTable } from './layout.ts';
import { NewSite } from './new-site.tsx';
import { Panel } from './panel.tsx';
import { PartsTable } from './parts-table.tsx';
import './sheet.css';

const PARTS: readonly string[] = ['islands', 'terminals', 'hoses', 'pumps', 'tanks'] satisfies PartTable[];

/** A site drawn from its data; whatever is chosen is changed at its side. */
export default function SheetPage() {
  const { fleet } = useDraft();
  const may = useMay('editor');
  const findings = useFindings();
  const [where, change] = useWhere();
  const [asTable, setAsTable] = useState(false);
  const status = useAsk('sites', {}).data;

  const sites = [...fleet.sites.values()].sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
  const part: PartRef | undefined =
    where.show && where.id && PARTS.includes(where.show) ? { table: where.show as PartTable, id: where.id } : undefined;
  const partSite = part && fleet[part.table].get(part.id)?.site;
  const wanted = partSite ?? (where.show === 'sites' ? where.id : where.site);
  const site = sites.find((s) => s.id === wanted)?.id ?? sites[0]?.id;
  const levels = useMemo(() => {
    const known = new Map<string, number>();
    for (const s of status ?? []) for (const t of s.tanks) if (t.volume !== null) known.set(t.tank, t.volume);
    return known;
  }, [status]);

  const choose = (next: PartRef | undefined) => change({ site, show: next?.table, id: next?.id, field: undefined });
  const goTo = (id: string) => change({ site: id, show: undefined, id: undefined, field: undefined });

  return (
    <div className="page sheet-page">
      <div className="page-head">
        <h1>Sheet</h1>
        {sites.length > 0 && (
          <label className="row">
            <span>Site</span>
            <select className="input sheet-site" value={site} onChange={(e) => goTo(e.target.value)}>
              {sites.map((s) => (
                <option key={s.id} value={s.id}>
                  {s.name}
                </option>
              ))}
            </select>
          </label>
        )}
        {may && <NewSite onMade={goTo} />}
        {site && (
          <LongFile name="accessStatement" give={{ query: { site } }} file={`access-${site}-draft.pdf`}>
            Access statement
          </LongFile>
        )}
        {site && (
          <button type="button" className="button no-print" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>
            Table of parts
          </button>
        )}
      </div>
      {site === undefined ? (
        <p className="quiet">
          There is no site yet. Make one here, or bring sites in from a workbook on the Import page; its tanks, pumps,
          islands and hoses are drawn from their data.
        </p>
      ) : (
        <div className="sheet-body">
          <div className="sheet-paper">
            <Drawing
              fleet={fleet}
              site={site}
              findings={findings}
              levels={levels}
              chosen={part && partSite ? part : undefined}
              onChoose={choose}
            />
            {part?.table === 'terminals' && partSite && <Face key={part.id} terminal={part.id} />}
            <PartsTable fleet={fleet} site={site} findings={findings} shown={asTable} />
            <SafetyNote before="working at a dispenser, tank or panel of this site" />
          </div>
          <Panel
            site={site}
            part={part && partSite ? part : undefined}
            field={where.field}
            onChoose={choose}
            onSite={goTo}
          />
        </div>
      )}
    </div>
  );
}
