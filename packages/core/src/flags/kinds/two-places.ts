import { type FlagFill, type FlagKind, type FlagRef, PRACTICE } from '../flag.ts';

/** From one yard's hose to the next yard's, with leaving, driving and presenting. Common practice, no source. */
const LEAST_MIN = 10;

export const twoPlaces: FlagKind = {
  code: 'G05',
  title: 'At two sites too soon',
  reason: 'Nobody drives from one yard to another so quickly: a card was copied or lent.',
  next: 'Ask who had the card. If nobody knows, stop it and give a new one.',
  source: PRACTICE,
  *find({ byVehicle, byDriver, called }) {
    const said = new Set<string>();
    for (const [table, groups] of [
      ['vehicles', byVehicle],
      ['drivers', byDriver],
    ] as const) {
      for (const [id, fills] of groups) {
        for (const [i, b] of fills.entries()) {
          const a = fills[i - 1];
          if (!a || a.site === b.site) continue;
          const minutes = (b.from - a.to) / 60_000;
          const key = `${a.id} ${b.id}`;
          if (minutes >= LEAST_MIN || said.has(key)) continue;
          said.add(key);
          yield {
            at: b.from,
            on: [fillRef(b), { table, id }, fillRef(a)],
            text: `${called(table, id)} drew at ${called('sites', b.site)} ${minutes < 0 ? 'while still drawing' : `${Math.round(minutes)} min after drawing`} at ${called('sites', a.site)}.`,
            evidence: { minutes: Math.round(minutes) },
          };
        }
      }
    }
  },
};

const fillRef = (fill: FlagFill): FlagRef => ({ table: 'fills', id: fill.id });
