import { useDeferredValue } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { namedItems, WhereChoice, WhereSearch } from '../../field/where-choice.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import { OneFlag } from './flag.tsx';
import { kindsOf, SHOWS, type Show, wished } from './list.ts';
import './flags.css';
import { Choice } from '../../field/choice.tsx';

const LABELS: Readonly<Record<Show, string>> = { open: 'open', 'looked at': 'looked at', all: 'all' };

/** Fills that are unlike the others of their vehicle or driver, until a person has looked at them. */
export default function FlagsPage() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const asked = useAsk('flags', { query: {} });
  const flags = asked.data?.flags ?? [];
  const show = SHOWS.find((s) => s === where.show) ?? 'open';
  const wish = { show, code: where.code, site: where.site, text: useDeferredValue(where.text) };
  const some = wished(flags, wish);
  const open = flags.filter((f) => f.looked === null).length;
  return (
    <div className="page">
      <div className="page-head">
        <h1>Flags</h1>
        <Choice
          label="Show"
          beside
          whole="no-print"
          field="flags-pick"
          items={SHOWS.map((s) => [s, LABELS[s]])}
          value={show}
          choose={(s) => change({ show: s === 'open' ? undefined : s })}
        />
        <WhereChoice
          label="Kind"
          part="code"
          beside
          whole="no-print"
          field="flags-pick flags-kind"
          items={kindsOf(flags).map((k) => [k.code, `${k.code} ${k.title} (${k.open} open)`])}
        />
        <WhereChoice
          label="Site"
          part="site"
          beside
          whole="no-print"
          field="flags-pick"
          items={namedItems(fleet.sites)}
        />
        <WhereSearch label="Search" part="text" beside whole="no-print" field="flags-pick" />
      </div>
      <p className="quiet">
        Fills of the last 30 days that are unlike the others of their vehicle or driver. A flag accuses nobody: it says
        what to look at.
      </p>
      {asked.isError && <ProblemNote problem={asked.error.problem} />}
      <p className="small quiet" role="status">
        {asked.isPending
          ? 'Looking through the ledger …'
          : flags.length === 0
            ? 'Nothing unusual in the last 30 days.'
            : `${plural(open, 'open flag')}, ${flags.length - open} looked at${
                some.length === flags.length ? '' : `; ${some.length} shown`
              }`}
      </p>
      {asked.data && flags.length > 0 && some.length === 0 && (
        <p>{show === 'open' && open === 0 ? 'Every flag has been looked at.' : 'No flag is like that.'}</p>
      )}
      <ul className="flags-list">
        {some.map((f) => (
          <OneFlag key={f.id} flag={f} fleet={fleet} chosen={f.id === where.id} />
        ))}
      </ul>
    </div>
  );
}
