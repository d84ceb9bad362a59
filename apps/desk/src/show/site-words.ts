import type { SiteStatus } from '@fillwright/wire';
import type { Severity } from '../look/marks.tsx';
import { plural } from './amounts.ts';

/** A line about a site; without a mark it is as it should be and stays grey. */
export interface Said {
  readonly is?: Severity;
  readonly words: string;
}

/** Which revision runs where against which is wanted. */
export function revisionSaid(s: SiteStatus): Said {
  if (!s.joined) return { is: 'note', words: 'No box has joined' };
  const runs = s.running === null ? 'Runs nothing yet' : `Runs revision ${s.running}`;
  if (s.refused && s.refused.revision !== s.running)
    return { is: 'error', words: `${runs}; refused revision ${s.refused.revision}` };
  if (s.wanted === null) return { words: s.running === null ? 'Nothing released yet' : runs };
  if (s.running === s.wanted) return { words: runs };
  const on = s.delivered !== null && s.delivered >= s.wanted ? 'delivered, not running yet' : 'not delivered yet';
  return { is: 'warning', words: `${runs}; ${s.wanted} ${on}` };
}

export function linkSaid(s: SiteStatus): Said {
  if (!s.joined || s.link === 'never') return { words: 'Never linked' };
  return s.link === 'here' ? { words: 'Linked' } : { is: 'warning', words: 'Link lost' };
}

/** What else needs a person at a site, worst first. */
export function troublesOf(s: SiteStatus, lowBelow: ReadonlyMap<string, number>): Said[] {
  const out: Said[] = [];
  const blocked = s.hoses.filter((h) => h.state === 'blocked' || h.reason !== null).length;
  const low = s.tanks.filter((t) => t.volume !== null && t.volume < (lowBelow.get(t.tank) ?? 0)).length;
  if (s.forked) out.push({ is: 'error', words: 'Two boxes under one name' });
  if (s.gap) out.push({ is: 'error', words: 'Entries are missing' });
  if (blocked > 0) out.push({ is: 'warning', words: `${plural(blocked, 'hose')} blocked` });
  if (low > 0) out.push({ is: 'warning', words: `${plural(low, 'tank')} low` });
  if (s.stale) out.push({ is: 'warning', words: 'Stale' });
  if (s.frozen) out.push({ is: 'error', words: 'No fresh word from the office' });
  if (s.cutOff) out.push({ is: 'warning', words: 'Cut off' });
  if (s.unsent > 0) out.push({ is: 'note', words: `${plural(s.unsent, 'entry', 'entries')} not yet sent` });
  return out;
}

/** Sites where something needs a person first, then by name. */
export function byNeed(sites: readonly SiteStatus[], lowBelow: ReadonlyMap<string, number>): SiteStatus[] {
  const weight = (s: SiteStatus) => {
    const all = [revisionSaid(s), linkSaid(s), ...troublesOf(s, lowBelow)];
    return all.some((x) => x.is === 'error') ? 0 : all.some((x) => x.is === 'warning') ? 1 : 2;
  };
  return [...sites].sort((a, b) => weight(a) - weight(b) || a.name.localeCompare(b.name, 'en', { numeric: true }));
}
