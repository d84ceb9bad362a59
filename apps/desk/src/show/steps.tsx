import type { Line, Verdict } from '@fillwright/core/decide';
import type { ReactNode } from 'react';
import { Mark } from '../look/marks.tsx';
import './show.css';

const SAYS: Readonly<Record<Verdict, ReactNode>> = {
  pass: <span className="quiet">passes</span>,
  limit: <span>limits</span>,
  refuse: <Mark is="error">refuses</Mark>,
  ask: <Mark is="note">asks</Mark>,
  notLookedAt: <span className="quiet">not looked at</span>,
};

/** Every rule that was looked at, in order, what it said and why; the one that decided stands out. */
export function Steps({ lines }: { lines: readonly Line[] }) {
  return (
    <table className="table steps">
      <caption className="unseen">Rules looked at, in order</caption>
      <thead>
        <tr>
          <th scope="col">Rule</th>
          <th scope="col">Says</th>
          <th scope="col">Why</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a rule may be looked at several times, always in this order
          <tr key={i} className={line.decides ? 'decides' : undefined}>
            <td>{line.title}</td>
            <td>
              {SAYS[line.says]}
              {line.decides && <span className="small quiet"> and decides</span>}
            </td>
            <td>{line.text === `${line.title}.` ? '' : line.text}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
