import { unitOf } from '@fillwright/core/fleet';
import type { TankBook } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { Mark } from '../../look/marks.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { wallOf } from '../../show/site-time.ts';
import { type MoveForm, type MoveKind, moveOf, oddity } from './move.ts';

const KINDS: readonly [MoveKind, string, string][] = [
  ['delivery', 'Delivery', 'What was dropped into the tank, by the delivery document.'],
  ['dip', 'Dip', 'What was measured in the tank. The book stays as it is; the difference shows.'],
  ['correction', 'Correction', 'Adds to the book, or with a minus takes away. Say why.'],
];

/** Writes a delivery, a dip or a correction into a tank's book. */
export function AddMove({ book }: { book: TankBook }) {
  const { fleet } = useDraft();
  const unit = unitOf(fleet.settings);
  const zone = fleet.sites.get(book.site)?.zone ?? 'UTC';
  const add = useDo('addTankMove');
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
    if (odd !== undefined && odd !== asked) return setAsked(odd);
    add.mutate(
      { params: { tank: book.tank }, body: move.value },
      {
        onSuccess: () => {
          setForm({ ...form, volume: '', note: '' });
          setAsked(undefined);
        },
      },
    );
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
        <label className="field">
          <span className="field-label">What</span>
          <select className="input" value={form.kind} onChange={(e) => set({ kind: e.target.value as MoveKind })}>
            {KINDS.map(([kind, label]) => (
              <option key={kind} value={kind}>
                {label}
              </option>
            ))}
          </select>
        </label>
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
      </div>
      <p className="small quiet">
        {KINDS.find(([kind]) => kind === form.kind)?.[2]} By the clock on the site’s wall: {zone}.
      </p>
      {problem && <ProblemNote problem={problem} />}
      {add.isError && <ProblemNote problem={add.error.problem} />}
      {asked && (
        <div className="notice warning" role="alert">
          <Mark is="warning">{asked}</Mark>
          <span>Write it again to keep it as it is.</span>
        </div>
      )}
      <div className="row">
        <button type="submit" className="button main" disabled={add.isPending}>
          Write into the book
        </button>
        <span role="status" className="small quiet">
          {add.isPending ? 'Writing …' : add.isSuccess && form.volume === '' ? 'Written.' : ''}
        </span>
      </div>
    </form>
  );
}
