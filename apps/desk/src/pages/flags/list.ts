import type { FlagReply } from '@fillwright/wire';

export type Show = 'open' | 'looked at' | 'all';
export const SHOWS: readonly Show[] = ['open', 'looked at', 'all'];

export interface FlagWish {
  readonly show: Show;
  readonly code: string | undefined;
  readonly site: string | undefined;
  /** Every word must be found in what the flag says, its title or the word on it. */
  readonly text: string | undefined;
}

/** The flags that a wish asks for, in their order. */
export function wished(flags: readonly FlagReply[], wish: FlagWish): FlagReply[] {
  const words = (wish.text ?? '').toLowerCase().split(/\s+/).filter(Boolean);
  return flags.filter((f) => {
    if (wish.show !== 'all' && (f.looked === null) !== (wish.show === 'open')) return false;
    if (wish.code !== undefined && f.code !== wish.code) return false;
    if (wish.site !== undefined && f.site !== wish.site) return false;
    const said = `${f.text} ${f.title} ${f.looked?.note ?? ''} ${f.looked?.by ?? ''}`.toLowerCase();
    return words.every((w) => said.includes(w));
  });
}

/** The kinds that occur, by code, each with its title and how many are open. */
export function kindsOf(flags: readonly FlagReply[]): { code: string; title: string; open: number }[] {
  const kinds = new Map<string, { code: string; title: string; open: number }>();
  for (const f of flags) {
    const kind = kinds.get(f.code) ?? { code: f.code, title: f.title, open: 0 };
    kinds.set(f.code, { ...kind, open: kind.open + (f.looked === null ? 1 : 0) });
  }
  return [...kinds.values()].sort((a, b) => (a.code < b.code ? -1 : 1));
}
