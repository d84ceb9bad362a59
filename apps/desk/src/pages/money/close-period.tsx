import type { MoneyStatement } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { moneyText, plural } from '../../show/amounts.ts';

/** Closes what was looked at, with a word: the hub refuses when it has changed since. */
export function ClosePeriod({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  const owner = useMay('owner');
  const close = useDo('closePeriod');
  const [word, setWord] = useState('');
  const unpriced = s.odd.some((o) => o.note.includes('no price'));
  const stops =
    s.state !== 'next'
      ? 'Only the days after the last closed period can be closed.'
      : !s.over
        ? 'These days are not over at every site.'
        : !owner
          ? 'Only an owner closes a period.'
          : word.trim() === ''
            ? 'Write a word first: whoever looks back reads it.'
            : '';
  return (
    <section className="panel stack" aria-labelledby="money-close">
      <h2 id="money-close">Close it</h2>
      <p>
        {plural(s.whole.fills, 'fill')}, {moneyText(fleet, s.whole.due)} due, from {s.from} to {s.to}. Once closed it
        stays so: what comes later stands in the next period, marked late.
        {unpriced && ' Some fills have no price and would be closed at nothing.'}
      </p>
      <form
        className="row money-close"
        onSubmit={(e) => {
          e.preventDefault();
          if (stops === '') close.mutate({ body: { from: s.from, to: s.to, digest: s.digest, word: word.trim() } });
        }}
      >
        <label className="field money-wide">
          <span className="field-label">Word</span>
          <input
            className="input"
            maxLength={300}
            disabled={!owner || s.state !== 'next'}
            value={word}
            onChange={(e) => setWord(e.target.value)}
          />
        </label>
        <button
          type="submit"
          className="button main"
          disabled={stops !== '' || close.isPending}
          aria-describedby="money-stops"
        >
          Close this period
        </button>
        <span id="money-stops" role="status" className="small quiet">
          {close.isPending ? 'Closing …' : stops}
        </span>
      </form>
      {close.isError && <ProblemNote problem={close.error.problem} />}
    </section>
  );
}
