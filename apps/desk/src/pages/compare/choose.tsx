import type { Fleet } from '@fillwright/core/fleet';
import type { ReplyOf } from '@fillwright/wire';
import { moment } from '../../data/clock.ts';
import { byName, Choice } from '../../field/choice.tsx';
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
  const sites = byName(fleet.sites.values());
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
            <Choice label="First site" items={sites} value={first} choose={(id) => change({ first: id })} />
            <Choice
              label="Second site"
              items={sites}
              value={where.second ?? ids.find((id) => id !== first) ?? ''}
              choose={(second) => change({ second })}
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
            <Choice
              label="Only at"
              items={[['', 'every site'], ...sites]}
              value={where.site ?? ''}
              choose={(site) => change({ site: site || undefined })}
            />
          </>
        )}
        <Choice
          label="Only of product"
          items={[['', 'all'], ...byName(fleet.products.values())]}
          value={where.product ?? ''}
          choose={(product) => change({ product: product || undefined })}
        />
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
  const items: [string, string][] = releases.map((r) => [
    String(r.number),
    `release ${r.number}, ${moment(r.at)}${r.note === '' ? '' : `, ${shortOf(r.note)}`}`,
  ]);
  const note = releases.find((r) => String(r.number) === value)?.note;
  return (
    <Choice
      {...{ label, value }}
      items={[['draft', 'the draft'], ...items, ...(nothing ? [['nothing', 'nothing: an empty fleet'] as const] : [])]}
      choose={set}
    >
      {note && <span className="field-note small">{note}</span>}
    </Choice>
  );
}

/** A note as it fits into a list; in full it stands below. */
const shortOf = (note: string) => (note.length > 40 ? `${note.slice(0, 39)}…` : note);
