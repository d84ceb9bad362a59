import { unitOf } from '@fillwright/core/fleet';
import { parseDecimal } from '@fillwright/core/units';
import type { MoneyStatement } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { byName, Choice } from '../../field/choice.tsx';
import { FIGURES, LabelledInput } from '../../field/labelled-input.tsx';
import { Heads, right } from '../../look/heads.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { centsShown, milliShown } from '../../show/amounts.ts';

/** Amounts put right, each an entry of its own; nobody changes a fill. */
export function Corrections({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  const may = useMay('editor');
  const { currency } = fleet.settings;
  const writes = may && s.state === 'next' && fleet.costCentres.size > 0;
  if (s.corrections.length === 0 && !writes) return null;
  return (
    <section className="panel stack" aria-labelledby="money-corrections">
      <h2 id="money-corrections">Corrections</h2>
      {s.corrections.length > 0 && (
        <table className="table money-table">
          <caption className="unseen">Corrections of this period</caption>
          <Heads of={['Date', 'Cost centre', 'Reason', 'By', right(`Amount (${currency})`)]} />
          <tbody>
            {s.corrections.map((c) => (
              <tr key={c.id}>
                <td className="money-date">{c.date}</td>
                <td>{c.costCentre}</td>
                <td>{c.reason}</td>
                <td>{c.by}</td>
                <td className="number">{centsShown(c.amount)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {writes && <AddCorrection date={s.to} />}
    </section>
  );
}

/** Charged in a closed period, and no sale after all: each is taken back line for line, and the closed period stays as it was. */
export function TakenBack({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  if (s.takenBack.length === 0) return null;
  const { currency } = fleet.settings;
  return (
    <section className="panel stack" aria-labelledby="money-back">
      <h2 id="money-back">Taken back</h2>
      <p className="small quiet">
        A closed period charged these fills, and they turned out to be no sale. That period stays as it was; their lines
        stand in this one with the opposite sign, in the sums above and in the fuel by jurisdiction.
      </p>
      <div className="strip-scroll">
        <table className="table money-table">
          <caption className="unseen">Fills taken back</caption>
          <Heads
            of={[
              'Date',
              'Charged in',
              'Site',
              'Jurisdiction',
              'Product',
              right(`Volume (${unitOf(fleet.settings)})`),
              right(`Gross (${currency})`),
              'Reason',
              'By',
            ]}
          />
          <tbody>
            {s.takenBack.map((b) => (
              <tr key={b.fill}>
                <td className="money-date">
                  <Link to="/ledger" search={{ fill: b.fill }}>
                    {b.date}
                  </Link>
                </td>
                <td>
                  <span className="money-date">{b.from}</span> to <span className="money-date">{b.to}</span>
                </td>
                <td>{b.site}</td>
                <td>{b.jurisdiction || <span className="quiet">none named</span>}</td>
                <td>{b.product}</td>
                <td className="number">{milliShown(b.milli)}</td>
                <td className="number">{centsShown(b.gross)}</td>
                <td>{b.reason}</td>
                <td>{b.by}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function AddCorrection({ date: last }: { date: string }) {
  const { fleet } = useDraft();
  const add = useDo('addCorrection');
  const start = { costCentre: [...fleet.costCentres.keys()][0] ?? '', date: last, amount: '', reason: '' };
  const [form, setForm] = useState(start);
  const [odd, setOdd] = useState('');
  const set = (part: Partial<typeof form>) => {
    setForm({ ...form, ...part });
    setOdd('');
  };
  return (
    <form
      className="stack"
      aria-label="Write a correction"
      onSubmit={(e) => {
        e.preventDefault();
        const cents = parseDecimal(form.amount, 2);
        if (cents === undefined || cents === 0) return setOdd('Write an amount such as -12.50, at most two decimals.');
        const body = { ...form, amount: cents * 100 };
        add.mutate({ body }, { onSuccess: () => setForm({ ...form, amount: '', reason: '' }) });
      }}
    >
      <div className="money-form">
        <Choice
          label="Cost centre"
          items={byName(fleet.costCentres.values())}
          value={form.costCentre}
          choose={(costCentre) => set({ costCentre })}
        />
        <LabelledInput
          required
          label="Date"
          type="date"
          max={last}
          value={form.date}
          onText={(date) => set({ date })}
        />
        <LabelledInput
          required
          label={`Amount (${fleet.settings.currency})`}
          {...FIGURES}
          value={form.amount}
          onText={(amount) => set({ amount })}
        />
        <LabelledInput
          required
          label="Reason"
          whole="money-wide"
          maxLength={300}
          value={form.reason}
          onText={(reason) => set({ reason })}
        />
      </div>
      {odd && <p role="alert">{odd}</p>}
      {add.isError && <ProblemNote problem={add.error.problem} />}
      <div className="row">
        <button type="submit" className="button" disabled={add.isPending}>
          Write the correction
        </button>
        <span className="small quiet">
          Adds to what is due; with a minus it takes away. It cannot be taken back, only corrected.
        </span>
      </div>
    </form>
  );
}
