import type { RouteName } from '@fillwright/wire';
import type { GiveOf } from '../data/hub.ts';
import { useLongFile } from '../data/long.ts';
import { Mark } from '../look/marks.tsx';
import { Going } from './going.tsx';

/** A button that makes a paper and keeps it as a file; while it is made it says how far it is, and can be stopped. */
export function LongFile<N extends RouteName>(props: { name: N; give: GiveOf<N>; file: string; children: string }) {
  const { name, give, file, children } = props;
  const { begin, error, going } = useLongFile(name, give, file);
  return (
    <span className="row no-print">
      <button type="button" className="button" disabled={going.working} onClick={begin}>
        {children}
      </button>
      <Going what="How much of the paper is made" worked={{ ...going, stopped: false, again: begin }} />
      {error && <Mark is="error">{error.problem.cause}</Mark>}
    </span>
  );
}
