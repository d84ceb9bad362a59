import { unitOf } from '@fillwright/core/fleet';
import type { VolumeUnit } from '@fillwright/core/units';
import type { TankBook } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { Choice } from '../../field/choice.tsx';
import { FIGURES, LabelledInput } from '../../field/labelled-input.tsx';
import { Mark } from '../../look/marks.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { wallOf } from '../../show/site-time.ts';
import { type BillForm, EMPTY_BILL } from './bill.ts';
import { type MoveForm, type MoveKind, oddity, writingOf } from './move.ts';

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
    const writing = writingOf(form, bill, unit, zone, Date.now());
    setProblem(writing.ok ? undefined : writing.error);
    if (!writing.ok) return;
    const { move, delivery } = writing.value;
    const safeFill = fleet.tanks.get(book.tank)?.safeFill ?? 100;
    const odd = oddity(move, { capacity: book.capacity, safeFill, book: book.book });
    if (odd !== undefined && odd !== asked) return setAsked(odd);
    const params = { tank: book.tank };
    const written = {
      onSuccess: () => {
        setForm({ ...form, volume: '', note: '' });
        setBill(EMPTY_BILL);
        setAsked(undefined);
      },
    };
    if (delivery) deliver.mutate({ params, body: delivery }, written);
    else add.mutate({ params, body: move }, written);
  };
  const writing = add.isPending || deliver.isPending;
  const isWritten = (add.isSuccess || deliver.isSuccess) && form.volume === '';
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
        <MoveFields form={form} unit={unit} set={set} />
        {form.kind === 'delivery' && (
          <BillFields
            bill={bill}
            unit={unit}
            set={(part) => {
              setBill({ ...bill, ...part });
              setProblem(undefined);
            }}
          />
        )}
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
        <button type="submit" className="button main" disabled={writing}>
          Write into the book
        </button>
        <span role="status" className="small quiet">
          {writing ? 'Writing …' : isWritten ? 'Written.' : ''}
        </span>
      </div>
    </form>
  );
}

function MoveFields(props: { form: MoveForm; unit: VolumeUnit; set: (part: Partial<MoveForm>) => void }) {
  const { form, unit, set } = props;
  return (
    <>
      <Choice
        label="What"
        items={KINDS.map(([kind, label]) => [kind, label])}
        value={form.kind}
        choose={(kind) => set({ kind })}
      />
      <LabelledInput label={`Volume (${unit})`} value={form.volume} onText={(volume) => set({ volume })} {...FIGURES} />
      <LabelledInput label="Date at the site" type="date" value={form.date} onText={(date) => set({ date })} />
      <LabelledInput label="Time at the site" type="time" value={form.time} onText={(time) => set({ time })} />
      <LabelledInput
        label="Note"
        whole="tank-note"
        maxLength={500}
        placeholder={form.kind === 'delivery' ? 'number of the document' : ''}
        value={form.note}
        onText={(note) => set({ note })}
      />
    </>
  );
}

/** What a bill of lading says beside the gross volume. */
function BillFields(props: { bill: BillForm; unit: VolumeUnit; set: (part: Partial<BillForm>) => void }) {
  const { bill, unit, set } = props;
  const field = (key: keyof BillForm, label: string) => (
    <LabelledInput label={label} value={bill[key]} onText={(text) => set({ [key]: text })} {...FIGURES} />
  );
  return (
    <>
      {field('net', unit === 'gal' ? 'Net at 60 °F (gal)' : 'Net at 15 °C (l)')}
      {field('temperature', unit === 'gal' ? 'Temperature (°F)' : 'Temperature (°C)')}
      {field('compartments', `Compartments (${unit}), with commas`)}
    </>
  );
}
