import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import type { TankBook, TankVerdict } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useEffect, useRef } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { useTankVerdicts } from '../../data/tank-verdicts.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { tankSaid } from '../../show/stock-words.ts';
import { LevelBar } from './level-bar.tsx';
import { AddMove } from './move-form.tsx';
import { StockView } from './stock-view.tsx';
import './tanks.css';
import { Heads, offPaper, right } from '../../look/heads.tsx';

/** What every tank holds by its book and by measurement. */
export default function TanksPage() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const books = useAsk('tankBooks', {});
  const open = books.data?.find((b) => b.tank === where.tank);
  return (
    <div className="page">
      <h1>Tanks</h1>
      {books.isError && <ProblemNote problem={books.error.problem} />}
      {books.isPending && <p role="status">Asking for the books …</p>}
      {books.data?.length === 0 && <p className="quiet">No tank yet: add one on the sheet of its site.</p>}
      {books.data && books.data.length > 0 && (
        <Books
          books={books.data}
          fleet={fleet}
          open={open?.tank}
          onOpen={(tank) => change({ tank: tank === open?.tank ? undefined : tank })}
        />
      )}
      {open && <StockView key={`stock ${open.tank}`} book={open} fleet={fleet} />}
      {open && <Book key={open.tank} book={open} fleet={fleet} />}
    </div>
  );
}

const byPlace = (fleet: Fleet) => (a: TankBook, b: TankBook) =>
  nameOf(fleet, 'sites', a.site).localeCompare(nameOf(fleet, 'sites', b.site), 'en', { numeric: true }) ||
  a.name.localeCompare(b.name, 'en', { numeric: true });

function Books(props: {
  books: readonly TankBook[];
  fleet: Fleet;
  open: string | undefined;
  onOpen: (tank: string) => void;
}) {
  const { books, fleet, open, onOpen } = props;
  const verdicts = useTankVerdicts().data?.tanks ?? [];
  return (
    <div className="strip-scroll">
      <table className="table tanks">
        <caption className="unseen">Tanks</caption>
        <Heads
          of={[
            'Tank',
            'Level',
            right('Book'),
            right('Measured'),
            right('Measured less book'),
            'Over 30 days',
            right('Room to safe fill'),
            offPaper('Book of moves'),
          ]}
        />
        <tbody>
          {[...books].sort(byPlace(fleet)).map((b) => (
            <Line
              key={b.tank}
              book={b}
              verdict={verdicts.find((v) => v.tank === b.tank)}
              fleet={fleet}
              open={b.tank === open}
              onOpen={onOpen}
            />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Line({
  book: b,
  verdict,
  fleet,
  open,
  onOpen,
}: {
  book: TankBook;
  verdict: TankVerdict | undefined;
  fleet: Fleet;
  open: boolean;
  onOpen: (tank: string) => void;
}) {
  const tank = fleet.tanks.get(b.tank);
  const zone = fleet.sites.get(b.site)?.zone ?? 'UTC';
  const [safeFill, low] = [tank?.safeFill ?? 100, tank?.low ?? 0];
  const held = b.measured ?? b.book;
  // A book may have begun without what was in the tank: only a measurement says what still fits in, and the fuller of the two counts.
  const room =
    b.measured === null ? null : Math.max(0, Math.floor((b.capacity / 100) * safeFill) - Math.max(b.measured, b.book));
  const difference = b.measured === null ? null : b.measured - b.book;
  const words = `${volumeText(fleet, b.book, 0)} of ${volumeText(fleet, b.capacity, 0)} by the book${
    b.measured === null ? '' : `, ${volumeText(fleet, b.measured, 0)} measured`
  }`;
  return (
    <tr>
      <th scope="row">
        <div>{b.name}</div>
        <div className="small quiet">
          {nameOf(fleet, 'sites', b.site)}, {nameOf(fleet, 'products', b.product)}
        </div>
      </th>
      <td>
        <LevelBar
          capacity={b.capacity}
          book={b.book}
          measured={b.measured}
          safeFill={safeFill}
          low={low}
          words={words}
        />
        <div className="small">
          {b.book < 0 ? (
            <>
              <Mark is="warning">book below nothing</Mark> <span className="quiet">dip, then correct it</span>
            </>
          ) : held < low && (b.bookAt !== null || b.measuredAt !== null) ? (
            <Mark is="warning">low</Mark>
          ) : (
            <span className="quiet">of {volumeText(fleet, b.capacity, 0)}</span>
          )}
        </div>
      </td>
      <td className="number">
        {volumeText(fleet, b.book)}
        <div className="small quiet">{b.bookAt === null ? 'no move yet' : siteMoment(b.bookAt, zone)}</div>
      </td>
      <td className="number">
        {b.measured === null ? <span className="quiet">never</span> : volumeText(fleet, b.measured)}
        {b.measuredAt !== null && <div className="small quiet">{siteMoment(b.measuredAt, zone)}</div>}
      </td>
      <td className="number">
        {difference === null ? '' : `${difference > 0 ? '+' : ''}${volumeText(fleet, difference)}`}
      </td>
      <td>
        <Verdict of={verdict} unit={unitOf(fleet.settings)} />
      </td>
      <td className="number">
        {room === null ? <span className="quiet">dip first</span> : volumeText(fleet, room, 0)}
      </td>
      <td className="no-print">
        <button
          type="button"
          className="button"
          aria-expanded={open}
          aria-label={`Book of ${b.name}, ${nameOf(fleet, 'sites', b.site)}`}
          onClick={() => onOpen(b.tank)}
        >
          {open ? 'Close' : 'Open'}
        </button>
      </td>
    </tr>
  );
}

function Verdict({ of: v, unit }: { of: TankVerdict | undefined; unit: 'gal' | 'l' }) {
  if (!v) return <span className="quiet">…</span>;
  const said = tankSaid(v, unit);
  if (said.length === 0) return <span className="quiet">{v.verdict ?? 'no estimate'}</span>;
  return said.map((s) => (
    <div key={s.words}>
      <Mark is={s.is ?? 'note'}>{s.words}</Mark>
    </div>
  ));
}

function Book({ book, fleet }: { book: TankBook; fleet: Fleet }) {
  const may = useMay('technician');
  const moves = useAsk('tankMoves', { params: { tank: book.tank }, query: { limit: 200 } });
  const zone = fleet.sites.get(book.site)?.zone ?? 'UTC';
  const place = useRef<HTMLElement>(null);
  useEffect(() => place.current?.scrollIntoView({ block: 'nearest' }), []);
  return (
    <section ref={place} className="panel stack" aria-label={`Book of ${book.name}`}>
      <h2>
        Book of {book.name}, {nameOf(fleet, 'sites', book.site)}
      </h2>
      {may && (
        <div className="no-print">
          <AddMove book={book} />
        </div>
      )}
      {moves.isError && <ProblemNote problem={moves.error.problem} />}
      {moves.data?.length === 0 && <p className="quiet">Nothing is in this book yet.</p>}
      {moves.data && moves.data.length > 0 && (
        <table className="table tank-moves">
          <caption className="unseen">Moves, newest first</caption>
          <Heads of={['At, by the site’s clock', 'What', right('Volume'), right('Book after it'), 'By', 'Note']} />
          <tbody>
            {moves.data.map((m) => (
              <tr key={m.id}>
                <td>{siteMoment(m.at, zone)}</td>
                <td>
                  {m.fill === null ? (
                    m.kind
                  ) : (
                    <Link to="/ledger" search={{ fill: m.fill }}>
                      {m.kind}
                    </Link>
                  )}
                </td>
                <td className="number">
                  {m.kind !== 'dip' && m.volume > 0 ? '+' : ''}
                  {volumeText(fleet, m.volume)}
                </td>
                <td className="number">{volumeText(fleet, m.book)}</td>
                <td>{m.by}</td>
                <td>{m.note}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
