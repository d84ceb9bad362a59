import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { plural } from '../../show/amounts.ts';
import { hereMoment, siteMoment } from '../../show/site-time.ts';
import { ToLookAt } from './to-look-at.tsx';

const NEWEST = 3;

/** How many flags nobody has looked at, and the newest of them; nothing where there is none. */
export function OpenFlags() {
  const { fleet } = useDraft();
  const open = (useAsk('flags', { query: {} }).data?.flags ?? []).filter((f) => f.looked === null);
  return (
    <ToLookAt
      id="today-flags"
      is="note"
      heading={plural(open.length, 'open flag')}
      page="/flags"
      way="Look at the flags"
      noted={open.slice(0, NEWEST).map((f) => {
        const at = f.site === null ? hereMoment(f.at) : siteMoment(f.at, fleet.sites.get(f.site)?.zone ?? 'UTC');
        return { key: f.id, search: { id: f.id }, words: f.text, below: `${at} · ${f.next}` };
      })}
    />
  );
}
