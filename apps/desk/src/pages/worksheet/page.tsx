import { useDraft } from '../../data/draft.ts';
import { useAsk, useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { SheetView } from './sheet-view.tsx';
import './worksheet.css';
import { Heads, unseen } from '../../look/heads.tsx';

/** What to try at a site before it is handed over, done on a tablet at the island. */
export default function WorksheetPage() {
  const [where] = useWhere();
  return <div className="page">{where.sheet ? <SheetView key={where.sheet} id={where.sheet} /> : <Sheets />}</div>;
}

function Sheets() {
  const { fleet } = useDraft();
  const [, change] = useWhere();
  const may = useMay('technician');
  const sheets = useAsk('worksheets', { query: {} });
  const make = useDo('makeWorksheet');
  return (
    <div className="stack worksheet">
      <h1>Worksheet</h1>
      <p>
        Made from the newest release of a site: which cards must be let in and which turned away, what each hose must
        do, and what a person must look at. What the journal shows by itself needs no press.
      </p>
      {make.isError && <ProblemNote problem={make.error.problem} />}
      {may && (
        <div className="row">
          {[...fleet.sites.values()].map((s) => (
            <button
              key={s.id}
              type="button"
              className="button big"
              disabled={make.isPending}
              aria-label={`Make a worksheet of ${s.name}`}
              onClick={() =>
                make.mutate({ body: { site: s.id } }, { onSuccess: (sheet) => change({ sheet: sheet.id }) })
              }
            >
              New: {s.name}
            </button>
          ))}
        </div>
      )}
      {sheets.isError && <ProblemNote problem={sheets.error.problem} />}
      {sheets.data?.length === 0 && <p className="quiet">No worksheet yet.</p>}
      {sheets.data && sheets.data.length > 0 && (
        <div className="strip-scroll">
          <table className="table">
            <caption className="unseen">Worksheets</caption>
            <Heads of={['Site', 'Release', 'Made', 'Signed', unseen('Open')]} />
            <tbody>
              {sheets.data.map((s) => {
                const zone = fleet.sites.get(s.site)?.zone ?? 'UTC';
                return (
                  <tr key={s.id}>
                    <th scope="row">{nameOf(fleet, 'sites', s.site)}</th>
                    <td>{s.release}</td>
                    <td>
                      {siteMoment(s.madeAt, zone)}, {s.madeBy}
                    </td>
                    <td>
                      {s.signedAt === null ? (
                        <Mark is="note">not yet</Mark>
                      ) : (
                        `${siteMoment(s.signedAt, zone)}, ${s.signer}`
                      )}
                    </td>
                    <td>
                      <button
                        type="button"
                        className="button"
                        aria-label={`Open the worksheet of ${nameOf(fleet, 'sites', s.site)}`}
                        onClick={() => change({ sheet: s.id })}
                      >
                        Open
                      </button>
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </div>
  );
}
