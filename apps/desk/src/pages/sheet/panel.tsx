import type { Problem } from '@fillwright/core/errors';
import { BODY_FIELDS, type Edit, type Fleet } from '@fillwright/core/fleet';
import { useEffect, useRef, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useMay } from '../../data/me.ts';
import { RecordEditor } from '../../field/record-editor.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { Touched } from '../../reach/touched.tsx';
import { nextHose, nextIsland, nextPump, nextTank, nextTerminal } from './add.ts';
import { CarrySection } from './carry.tsx';
import { FACE_FIELDS } from './face.tsx';
import { JoinSection } from './join.tsx';
import type { PartRef, PartTable } from './layout.ts';
import { partName } from './names.ts';
import { TankBody } from './tank-body.tsx';
import { CopyButton, RemoveButton } from './whole.tsx';

interface Adding {
  readonly label: string;
  readonly table: PartTable;
  /** Null where every number is taken. */
  readonly row: (fleet: Fleet) => { readonly id: string } | null;
}

/** What can be added next to a part, or to the site where nothing is chosen. */
function addingsFor(fleet: Fleet, site: string, part: PartRef | undefined): readonly Adding[] {
  const onIsland = (id: string): readonly Adding[] => {
    const island = fleet.islands.get(id);
    return island
      ? [
          { label: 'Add hose here', table: 'hoses', row: (f) => nextHose(f, island) },
          { label: 'Add terminal here', table: 'terminals', row: (f) => nextTerminal(f, island) },
        ]
      : [];
  };
  switch (part?.table) {
    case 'islands':
      return onIsland(part.id);
    case 'terminals':
      return onIsland(fleet.terminals.get(part.id)?.island ?? '').slice(0, 1);
    case 'hoses': {
      const hose = fleet.hoses.get(part.id);
      const island = fleet.islands.get(hose?.island ?? '');
      return hose && island
        ? [
            { label: 'Add another hose like it', table: 'hoses', row: (f) => nextHose(f, island, hose.pump) },
            ...onIsland(island.id).slice(1),
          ]
        : [];
    }
    case 'pumps':
      return [...fleet.islands.values()]
        .filter((island) => island.site === site)
        .map((island) => ({
          label: `Add hose on ${island.name}`,
          table: 'hoses',
          row: (f) => nextHose(f, island, part.id),
        }));
    case 'tanks':
      return [{ label: 'Add pump on this tank', table: 'pumps', row: (f) => nextPump(f, site, part.id) }];
    default:
      return [
        { label: 'Add tank', table: 'tanks', row: (f) => nextTank(f, site) },
        { label: 'Add pump', table: 'pumps', row: (f) => nextPump(f, site) },
        { label: 'Add island', table: 'islands', row: (f) => nextIsland(f, site) },
      ];
  }
}

/** Fields that have a place of their own beside the panel's list. */
const elsewhere = (table: PartTable | undefined): readonly string[] =>
  table === 'terminals' ? FACE_FIELDS : table === 'tanks' ? BODY_FIELDS : [];

/** The chosen part, or the site itself, with its fields and what can be done to it. */
export function Panel({
  site,
  part,
  field,
  onChoose,
  onSite,
}: {
  site: string;
  part: PartRef | undefined;
  field: string | undefined;
  onChoose: (part: PartRef | undefined) => void;
  onSite: (site: string) => void;
}) {
  const { fleet, edit } = useDraft();
  const may = useMay('editor');
  const [problem, setProblem] = useState<Problem>();
  const title = useRef<HTMLHeadingElement>(null);
  const key = part ? `${part.table}/${part.id}` : site;
  // biome-ignore lint/correctness/useExhaustiveDependencies: what was wrong with one part says nothing of another
  useEffect(() => setProblem(undefined), [key]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a link to a field leads there once
  useEffect(() => {
    if (field === undefined) return;
    const panel = title.current?.closest('.sheet-panel');
    panel?.querySelector<HTMLElement>('input, select, textarea')?.scrollIntoView({ block: 'nearest' });
  }, [key, field]);

  const make = (adding: Adding) => {
    const row = adding.row(fleet);
    if (!row) return;
    const edits: Edit[] = [{ op: 'put', table: adding.table, row: { ...row } }];
    const done = edit(edits, adding.label);
    if (done.ok) onChoose({ table: adding.table, id: row.id });
    else setProblem(done.error[0]);
  };
  const name = part ? partName(fleet, part) : (fleet.sites.get(site)?.name ?? site);
  const addings = addingsFor(fleet, site, part);
  return (
    <section className="panel sheet-panel" aria-label={part ? name : `Site ${name}`}>
      <div className="spread">
        <h2 ref={title}>{part ? name : `Site ${name}`}</h2>
        {part && (
          <button type="button" className="button plain" onClick={() => onChoose(undefined)}>
            Close
          </button>
        )}
      </div>
      {may && (
        <div className="row no-print">
          {addings.map((a) => {
            const row = a.row(fleet);
            return (
              <button
                type="button"
                className="button"
                key={a.label}
                disabled={row === null}
                title={row === null ? 'All 99 hose numbers or all 64 channels of this site are taken' : undefined}
                onClick={() => make(a)}
              >
                {a.label}
              </button>
            );
          })}
          <CopyButton site={site} part={part} onChoose={onChoose} onSite={onSite} onProblem={setProblem} />
          <RemoveButton site={site} part={part} onChoose={onChoose} onProblem={setProblem} />
        </div>
      )}
      {problem && <ProblemNote problem={problem} />}
      <RecordEditor
        table={part?.table ?? 'sites'}
        id={part?.id ?? site}
        counts={(f, row) =>
          !elsewhere(part?.table).some((name) => name === f.name) &&
          !(part?.table === 'terminals' && row.dots === 'none' && /^dots./.test(f.name))
        }
      />
      {(!part || part.table === 'hoses') && <Touched table={part ? 'hoses' : 'sites'} id={part?.id ?? site} />}
      {part?.table === 'tanks' && <TankBody key={part.id} id={part.id} />}
      {!part && <JoinSection key={site} site={site} />}
      {!part && <CarrySection key={`carry-${site}`} site={site} />}
    </section>
  );
}
