import type { Fleet } from '@fillwright/core/fleet';
import type { ChangedStretch } from '@fillwright/core/reach';
import { Mark } from '../../look/marks.tsx';
import { Lines } from '../../reach/lines.tsx';
import type { Pair, Within } from '../../reach/message.ts';
import { useBehind } from '../../reach/use-reach.ts';
import { plural } from '../../show/amounts.ts';
import { blocksOf, timesOf } from '../../show/week-blocks.ts';
import { WeekMinute } from '../../show/week-minute.tsx';
import { KINDS, wordsOf } from './words.ts';

/** Which fleet and which two are compared, within what. */
export interface Asked {
  readonly fleet: Fleet;
  readonly today: number;
  readonly pair: Pair;
  readonly within: Within;
}

/** Who gains and who loses in the stretch of the week round a minute, by name, each with a witness for the bench. */
export function Behind(
  props: Asked & {
    product: string;
    stretches: readonly ChangedStretch[];
    minute: number;
    move: (minute: number | undefined) => void;
    sites: readonly [string, string] | undefined;
  },
) {
  const { fleet, today, pair, within, product, stretches, minute, move, sites } = props;
  const stretch = stretches.find((s) => s.from <= minute && minute < s.to);
  const changes = stretch !== undefined && KINDS.some((kind) => stretch[kind] > 0);
  const span = changes ? { from: stretch.from, to: stretch.to } : null;
  const { answer, working } = useBehind(fleet, today, span && { pair, within: { ...within, product }, span });
  const told = span && !working && answer?.kind === 'behind' ? answer.told : undefined;
  const words = wordsOf(sites);
  return (
    <section className="week-names stack" aria-label="Names behind the cell">
      <WeekMinute {...{ minute, move }} />
      <p role="status">
        <strong>{stretch ? timesOf(blocksOf(stretch)) : ''}</strong>
        {!changes && (sites ? ': alike at both.' : ': nothing changes for anybody.')}
        {changes && working && ': looking for the names …'}
      </p>
      {answer?.kind === 'failed' && !working && <Mark is="error">{answer.sentence}</Mark>}
      {told &&
        KINDS.map((kind) => {
          const lines = told.lines.filter((l) => l.kind === kind);
          if (lines.length === 0) return null;
          return (
            <div key={kind} className="stack">
              <h3 className="compare-kind">{words[kind]}</h3>
              <Lines lines={lines} sites={sites} />
              {told.more[kind] > 0 && <p className="quiet">{plural(told.more[kind], 'smaller group')} not listed.</p>}
            </div>
          );
        })}
    </section>
  );
}
