import { unitOf } from '@fillwright/core/fleet';
import type { TankBook } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { Choice } from '../../field/choice.tsx';
import { Mark } from '../../look/marks.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { wallOf } from '../../show/site-time.ts';
import { billOf, EMPTY_BILL } from './bill.ts';
import { type MoveForm, type MoveKind, moveOf, oddity } from './move.ts';

const KINDS: readonly [MoveKind, string, string][] = [
  [
    'delivery',
    'Delivery',
    'What was dropped into the tank, by the bill of lading: the volume is gross; the rest may be left empty.',
  ],
  ['dip', 'Dip', 'What was measured in the tank. The book stays as it is; the difference shows.'],
  ['correction', 'Correction', 'Adds to the book, or with a minus takes away. Say why.'],
];

/** Writes a delivery, a dip or a correction into a tank's book. */
export function AddMove({ book }: { book: TankBook }) {
  const { fleet } = useDraft();
  const unit = unitOf(fleet.settings);
  const zone = fleet.sites.get(book.site)?.zone ?? 'UTC';
  const add = useDo('addTankMove');
  const deliver = useDo('addDelivery');
  const [bill, setBill] = useState(EMPTY_BILL);
  const [form, setForm] = useState<MoveForm>(() => ({
    kind: 'delivery',
    volume: '',
    ...wallOf(Date.now(), zone),
    note: '',
  }));
  const [problem, setProblem] = useState<ProblemLike>();
  const [asked, setAsked] = useState<string>();
  const set = (part: Partial<MoveForm>) => {
    setForm({ ...form, ...part });
    setAsked(undefined);
    setProblem(undefined);
  };
  const send = () => {
    const move = moveOf(form, unit, zone, Date.now());
    if (!move.ok) return setProblem(move.error);
    setProblem(undefined);
    const safeFill = fleet.tanks.get(book.tank)?.safeFill ?? 100;
    const odd = oddity(move.value, { capacity: book.capacity, safeFill, book: book.book });
    const written = {
      onSuccess: () => {
        setForm({ ...form, volume: '', note: '' });
        setBill(EMPTY_BILL);
        setAsked(undefined);
      },
    };
    const params = { tank: book.tank };
    if (move.value.kind !== 'delivery') {
      if (odd !== undefined && odd !== asked) return setAsked(odd);
      return add.mutate({ params, body: move.value }, written);
    }
    const said = billOf(bill, move.value.volume, unit);
    if (!said.ok) return setProblem(said.error);
    if (odd !== undefined && odd !== asked) return setAsked(odd);
    const { at, volume: gross, note: document } = move.value;
    deliver.mutate({ params, body: { at, gross, document: document.slice(0, 100), ...said.value } }, written);
  };
  return (
    <form
      className="stack"
      aria-label={`Write into the book of ${book.name}`}
      onSubmit={(e) => {
        e.preventDefault();
        send();
      }}
    >
      <SafetyNote before="a dip or a delivery" />
      <div className="tank-form">
        <Choice
          label="What"
          items={KINDS.map(([kind, label]) => [kind, label])}
          value={form.kind}
          choose={(kind) => set({ kind })}
        />
        <label className="field">
          <span className="field-label">Volume ({unit})</span>
          <input
            className="input"
            inputMode="decimal"
            autoComplete="off"
            value={form.volume}
            onChange={(e) => set({ volume: e.target.value })}
          />
        </label>
        <label className="field">
          <span className="field-label">Date at the site</span>
          <input className="input" type="date" value={form.date} onChange={(e) => set({ date: e.target.value })} />
        </label>
        <label className="field">
          <span className="field-label">Time at the site</span>
          <input className="input" type="time" value={form.time} onChange={(e) => set({ time: e.target.value })} />
        </label>
        <label className="field tank-note">
          <span className="field-label">Note</span>
          <input
            className="input"
            maxLength={500}
            placeholder={form.kind === 'delivery' ? 'number of the document' : ''}
            value={form.note}
            onChange={(e) => set({ note: e.target.value })}
          />
        </label>
        {form.kind === 'delivery' &&
          (
            [
              ['net', unit === 'gal' ? 'Net at 60 °F (gal)' : 'Net at 15 °C (l)'],
              ['temperature', unit === 'gal' ? 'Temperature (°F)' : 'Temperature (°C)'],
              ['compartments', `Compartments (${unit}), with commas`],
            ] as const
          ).map(([field, label]) => (
            <label key={field} className="field">
              <span className="field-label">{label}</span>
              <input
                className="input"
                inputMode="decimal"
                autoComplete="off"
                value={bill[field]}
                onChange={(e) => {
                  setBill({ ...bill, [field]: e.target.value });
                  setProblem(undefined);
                }}
              />
            </label>
          ))}
      </div>
      <p className="small quiet">
        {KINDS.find(([kind]) => kind === form.kind)?.[2]} By the clock on the site’s wall: {zone}.
      </p>
      {problem && <ProblemNote problem={problem} />}
      {add.isError && <ProblemNote problem={add.error.problem} />}
      {deliver.isError && <ProblemNote problem={deliver.error.problem} />}
      {asked && (
        <div className="notice warning" role="alert">
          <Mark is="warning">{asked}</Mark>
          <span>Write it again to keep it as it is.</span>
        </div>
      )}
      <div className="row">
        <button type="submit" className="button main" disabled={add.isPending || deliver.isPending}>
          Write into the book
        </button>
        <span role="status" className="small quiet">
          {add.isPending || deliver.isPending
            ? 'Writing …'
            : (add.isSuccess || deliver.isSuccess) && form.volume === ''
              ? 'Written.'
              : ''}
        </span>
      </div>
    </form>
  );
}
