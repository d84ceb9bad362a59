import type { SiteStatus, Stop } from '@fillwright/wire';

/** Stops that some site has not taken yet, newest first, with the sites that they wait for. */
export function stopsUnderWay(stops: readonly Stop[]): { stop: Stop; waiting: readonly string[]; of: number }[] {
  return stops
    .map((stop) => ({
      stop,
      waiting: stop.sites.filter((s) => s.gotAt === null).map((s) => s.name),
      of: stop.sites.length,
    }))
    .filter((s) => s.waiting.length > 0)
    .sort((a, b) => b.stop.at - a.stop.at);
}

/** Names of the sites whose journal has a gap: entries that the office was never sent. */
export const sitesWithGap = (sites: readonly SiteStatus[]): string[] => sites.filter((s) => s.gap).map((s) => s.name);
