import type { Problem } from '@fillwright/core/errors';
import type { Option } from './suggest.ts';

/** The option that an arrow leads to, round and round; none is marked at -1. */
export const stepped = (at: number, key: 'ArrowDown' | 'ArrowUp', count: number): number =>
  (at + (key === 'ArrowDown' ? 1 : at < 0 ? 0 : -1) + count) % count;

/** What an input says of the list below it. */
export const offering = (id: string, offered: readonly Option[], at: number) => ({
  role: 'combobox',
  'aria-expanded': offered.length > 0,
  'aria-controls': `${id}-list`,
  'aria-autocomplete': 'list' as const,
  'aria-activedescendant': at >= 0 ? `${id}-${at}` : undefined,
});

/** The options below an input that fit what is typed in it; the input keeps the focus. */
export function Offers(props: {
  id: string;
  label: string;
  offered: readonly Option[];
  at: number;
  take: (value: string) => void;
}) {
  const { id, label, offered, at, take } = props;
  if (offered.length === 0) return null;
  return (
    <div className="offers" id={`${id}-list`} role="listbox" aria-label={`${label}: what fits`}>
      {offered.map((o, i) => (
        // biome-ignore lint/a11y/useFocusableInteractive: the focus stays in the input, which names the active option
        // biome-ignore lint/a11y/useKeyWithClickEvents: the input takes the keys
        <div
          key={o.value}
          id={`${id}-${i}`}
          role="option"
          aria-selected={i === at}
          className="offer"
          onPointerDown={(e) => e.preventDefault()}
          onClick={() => take(o.value)}
        >
          {o.text}
          {o.note !== '' && <span className="small quiet"> {o.note}</span>}
        </div>
      ))}
    </div>
  );
}

/** Why what was typed was not taken. */
export const EntryProblem = ({
  id,
  problem,
  className,
}: {
  id: string;
  problem: Problem | undefined;
  className: string;
}) =>
  problem && (
    <p className={`${className} small`} id={`${id}-problem`} role="alert">
      {problem.cause} {problem.expected ? `Expected: ${problem.expected}.` : problem.mend}
    </p>
  );
