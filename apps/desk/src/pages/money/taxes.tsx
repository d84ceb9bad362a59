import { USE_WORDS, type Use } from '@fillwright/core/accounts';
import { unitOf } from '@fillwright/core/fleet';
import { parseDecimal } from '@fillwright/core/units';
import type { AccountTax } from '@fillwright/wire';
import { useState } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { nameOf } from '../../data/where.ts';
import { byName, Choice } from '../../field/choice.tsx';
import { FIGURES, LabelledInput } from '../../field/labelled-input.tsx';
import { Heads, right, unseen } from '../../look/heads.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { exemptText, rateText } from './rate.ts';

/** Taxes as the office has entered them, newest of each name first, and a form for another. */
export function Taxes({ taxes }: { taxes: readonly AccountTax[] }) {
  const { fleet } = useDraft();
  const may = useMay('editor');
  const remove = useDo('removeTax');
  const sorted = [...taxes].sort((a, b) => a.name.localeCompare(b.name, 'en') || (a.from < b.from ? 1 : -1));
  return (
    <section className="panel stack" aria-labelledby="money-taxes">
      <h2 id="money-taxes">Taxes</h2>
      <p className="small quiet">
        From published rates: none is built in. Rows of one name are one tax through time; a rate of 0 ends it. Closed
        periods stay as they are.
      </p>
      {sorted.length === 0 ? (
        <p className="quiet">No tax is entered: net and gross are the same.</p>
      ) : (
        <div className="strip-scroll">
          <table className="table money-table">
            <caption className="unseen">Taxes</caption>
            <Heads
              of={[
                'Tax',
                'From',
                right('Rate'),
                'In the price',
                'On',
                'At',
                'Exempt',
                may && unseen('Take away', 'no-print'),
              ]}
            />
            <tbody>
              {sorted.map((t) => (
                <tr key={t.id}>
                  <th scope="row">{t.name}</th>
                  <td className="money-date">{t.from}</td>
                  <td className="number">{rateText(fleet, t)}</td>
                  <td>{t.inPrice ? 'yes' : 'no, on top'}</td>
                  <td>{t.products.map((p) => nameOf(fleet, 'products', p)).join(', ')}</td>
                  <td>{t.sites?.map((x) => nameOf(fleet, 'sites', x)).join(', ') ?? 'every site'}</td>
                  <td>{exemptText(t)}</td>
                  {may && (
                    <td className="no-print">
                      <button
                        type="button"
                        className="button"
                        aria-label={`Take away ${t.name} from ${t.from}`}
                        disabled={remove.isPending}
                        onClick={() => remove.mutate({ params: { id: t.id } })}
                      >
                        Take away
                      </button>
                    </td>
                  )}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {remove.isError && <ProblemNote problem={remove.error.problem} />}
      {may && (
        <details className="no-print">
          <summary>Enter a tax</summary>
          <AddTax />
        </details>
      )}
    </section>
  );
}

function AddTax() {
  const { fleet } = useDraft();
  const today = useToday();
  const add = useDo('addTax');
  const [form, setForm] = useState({
    name: '',
    from: today,
    kind: 'volume' as 'volume' | 'percent',
    rate: '',
    inPrice: true,
    products: [] as string[],
    sites: [] as string[],
    exempt: [] as Use[],
  });
  const [odd, setOdd] = useState('');
  const set = (part: Partial<typeof form>) => {
    setForm({ ...form, ...part });
    setOdd('');
  };
  const flip = <T extends string>(list: readonly T[], item: T): T[] =>
    list.includes(item) ? list.filter((x) => x !== item) : [...list, item];
  const { currency } = fleet.settings;
  return (
    <form
      className="stack"
      aria-label="Enter a tax"
      onSubmit={(e) => {
        e.preventDefault();
        const rate = parseDecimal(form.rate, 4);
        if (rate === undefined || rate < 0) return setOdd('Write a rate such as 0.244, at most four decimals.');
        if (form.products.length === 0) return setOdd('Choose at least one product.');
        const body = { ...form, rate, sites: form.sites.length === 0 ? null : form.sites };
        add.mutate({ body }, { onSuccess: () => setForm({ ...form, name: '', rate: '' }) });
      }}
    >
      <div className="money-form">
        <LabelledInput
          required
          label="Tax"
          whole="money-wide"
          maxLength={60}
          value={form.name}
          onText={(name) => set({ name })}
        />
        <LabelledInput required label="From" type="date" value={form.from} onText={(from) => set({ from })} />
        <LabelledInput required label="Rate" {...FIGURES} value={form.rate} onText={(rate) => set({ rate })} />
        <Choice
          label="In"
          items={[
            ['volume', `${currency} per ${unitOf(fleet.settings)}`],
            ['percent', '%'],
          ]}
          value={form.kind}
          choose={(kind) => set({ kind })}
        />
      </div>
      <Boxes
        legend="On"
        items={byName(fleet.products.values())}
        on={form.products}
        flip={(id) => set({ products: flip(form.products, id) })}
      />
      <Boxes
        legend="Only at"
        note="none chosen: every site"
        items={byName(fleet.sites.values())}
        on={form.sites}
        flip={(id) => set({ sites: flip(form.sites, id) })}
      />
      <Boxes
        legend="Exempt"
        items={Object.entries(USE_WORDS)}
        on={form.exempt}
        flip={(use) => set({ exempt: flip(form.exempt, use as Use) })}
      />
      <label className="flag">
        <input type="checkbox" checked={form.inPrice} onChange={(e) => set({ inPrice: e.target.checked })} />
        <span>In the price</span>
      </label>
      {odd && <p role="alert">{odd}</p>}
      {add.isError && <ProblemNote problem={add.error.problem} />}
      <div>
        <button type="submit" className="button" disabled={add.isPending}>
          Enter the tax
        </button>
      </div>
    </form>
  );
}

function Boxes(props: {
  legend: string;
  note?: string;
  items: readonly (readonly [string, string])[];
  on: readonly string[];
  flip: (id: string) => void;
}) {
  return (
    <fieldset className="money-boxes">
      <legend className="field-label">
        {props.legend} {props.note && <span className="quiet small">{props.note}</span>}
      </legend>
      {props.items.map(([id, label]) => (
        <label key={id} className="flag">
          <input type="checkbox" checked={props.on.includes(id)} onChange={() => props.flip(id)} />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  );
}
