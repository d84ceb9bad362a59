import { Link } from '@tanstack/react-router';
import { useDraftState } from '../data/draft.ts';
import { useAsk } from '../data/hub.ts';
import { Mark } from '../look/marks.tsx';
import { plural } from '../show/amounts.ts';
import { runsWords } from './runs-words.ts';

/** What the sites run, and how far the draft has gone beyond what was released: kept is not sent, and here it shows. */
export function Running() {
  const { fleet, version } = useDraftState();
  const newest = useAsk('releases', {}).data?.[0];
  const sites = useAsk('sites', {}).data;
  if (!fleet || !sites) return null;
  const { calm, words } = runsWords(sites, newest?.number);
  const ahead = newest ? version - newest.version : 0;
  return (
    <Link className="top-running small" to="/release" search={{}} title="Open the release">
      {calm ? <span className="quiet">{words}</span> : <Mark is="warning">{words}</Mark>}
      {ahead > 0 && <Mark is="note">{plural(ahead, 'change')} not released</Mark>}
    </Link>
  );
}
