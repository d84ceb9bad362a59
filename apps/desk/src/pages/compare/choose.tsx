import type { Fleet } from '@fillwright/core/fleet';
import type { ReplyOf } from '@fillwright/wire';
import { moment } from '../../data/clock.ts';
import { WhoChoice, whoIn } from '../../field/who-choice.tsx';

type Where = Readonly<Record<string, string | undefined>>;
type Release = ReplyOf<'releases'>[number];

/** Which two, and what of them. All of it stands in the address. */
export function Choose(props: {
  fleet: Fleet;
  where: Where;
  change: (part: Where) => void;
  releases: readonly Release[];
  base: number | null;
}) {
  const { fleet, where, change, releases, base } = props;
  const ofSites = where.pair === 'sites';
  const ids = [...fleet.sites.keys()];
  const first = where.first ?? ids[0] ?? '';
  return (
    <section className="panel stack no-print" aria-label="What is compared">
      <fieldset className="switch compare-switch" aria-label="Compare">
        <button type="button" aria-pressed={!ofSites} onClick={() => change({ pair: undefined })}>
          Two fleets
        </button>
        <button type="button" aria-pressed={ofSites} onClick={() => change({ pair: 'sites', site: undefined })}>
          Two sites
        </button>
      </fieldset>
      <div className="choose compare-two">
        {ofSites ? (
          <>
            <Fleets label="In" value={where.of ?? 'draft'} {...{ releases }} set={(of) => change({ of })} />
            <Sites label="First site" value={first} {...{ fleet }} set={(id) => change({ first: id })} />
            <Sites
              label="Second site"
              value={where.second ?? ids.find((id) => id !== first) ?? ''}
              {...{ fleet }}
              set={(second) => change({ second })}
            />
          </>
        ) : (
          <>
            <Fleets
              label="Before"
              value={where.before ?? String(base ?? 'nothing')}
              nothing
              {...{ releases }}
              set={(before) => change({ before })}
            />
            <Fleets label="After" value={where.after ?? 'draft'} {...{ releases }} set={(after) => change({ after })} />
            <Sites
              label="Only at"
              value={where.site ?? ''}
              every
              {...{ fleet }}
              set={(site) => change({ site: site || undefined })}
            />
          </>
        )}
        <label className="field">
          <span className="field-label">Only of product</span>
          <select
            className="input"
            value={where.product ?? ''}
            onChange={(e) => change({ product: e.target.value || undefined })}
          >
            <option value="">all</option>
            {[...fleet.products.values()].map((p) => (
              <option key={p.id} value={p.id}>
                {p.name}
              </option>
            ))}
          </select>
        </label>
      </div>
      <div className="choose">
        <WhoChoice {...{ fleet, change }} who={whoIn(where)} />
      </div>
    </section>
  );
}

function Fleets(props: {
  label: string;
  value: string;
  /** Whether there may be no fleet at all. */
  nothing?: boolean;
  releases: readonly Release[];
  set: (value: string) => void;
}) {
  const { label, value, nothing, releases, set } = props;
  return (
    <label className="field">
      <span className="field-label">{label}</span>
      <select className="input" value={value} onChange={(e) => set(e.target.value)}>
        <option value="draft">the draft</option>
        {releases.map((r) => (
          <option key={r.number} value={r.number}>
            release {r.number}, {moment(r.at)}
            {r.note === '' ? '' : `, ${r.note.slice(0, 40)}`}
          </option>
        ))}
        {nothing && <option value="nothing">nothing: an empty fleet</option>}
      </select>
    </label>
  );
}

function Sites(props: { label: string; value: string; every?: boolean; fleet: Fleet; set: (value: string) => void }) {
  const { label, value, every, fleet, set } = props;
  return (
    <label className="field">
      <span className="field-label">{label}</span>
      <select className="input" value={value} onChange={(e) => set(e.target.value)}>
        {every && <option value="">every site</option>}
        {[...fleet.sites.values()].map((s) => (
          <option key={s.id} value={s.id}>
            {s.name}
          </option>
        ))}
      </select>
    </label>
  );
}
