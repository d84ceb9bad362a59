import type { Line, Verdict } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import type { ReactNode } from 'react';
import { Mark } from '../look/marks.tsx';
import { To } from './smallest-changes.tsx';
import './show.css';
import { Heads } from '../look/heads.tsx';

const SAYS: Readonly<Record<Verdict, ReactNode>> = {
  pass: <span className="quiet">passes</span>,
  limit: <span>limits</span>,
  refuse: <Mark is="error">refuses</Mark>,
  ask: <Mark is="note">asks</Mark>,
  notLookedAt: <span className="quiet">not looked at</span>,
};

type Said = Pick<Line, 'title' | 'text' | 'decides'> & {
  readonly says: Verdict;
  readonly on?: { readonly table: string; readonly id: string } | null | undefined;
};

/** Every rule that was looked at, in order, what it said and why; the one that decided stands out. */
export function Steps({ lines, fleet }: { lines: readonly Said[]; fleet?: Fleet }) {
  return (
    <table className="table steps">
      <caption className="unseen">Rules looked at, in order</caption>
      <Heads of={['Rule', 'Says', 'Why']} />
      <tbody>
        {lines.map((line, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a rule may be looked at several times, always in this order
          <tr key={i} className={line.decides ? 'decides' : undefined}>
            <td>{line.title}</td>
            <td>
              {SAYS[line.says]}
              {line.decides && <span className="small quiet"> and decides</span>}
            </td>
            <td>
              {line.text === `${line.title}.` ? (
                ''
              ) : fleet && line.says !== 'pass' ? (
                <To on={line.on ?? null} fleet={fleet}>
                  {line.text}
                </To>
              ) : (
                line.text
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
