import { type FlagKind, type Found, type History, PRACTICE } from '../flag.ts';
import { type Reading, readingsOf } from '../readings.ts';

export const counterBack: FlagKind = {
  code: 'G02',
  title: 'A counter that went backwards',
  reason: 'An odometer does not fall: it was keyed wrongly now or the last time, or the card fuelled another vehicle.',
  next: 'Read the counter on the vehicle. If the card was used for another vehicle, stop it.',
  source: PRACTICE,
  find: (history) =>
    wrongReadings(history, 'back', ({ now, last }, kind, name) => ({
      text: `${name}: ${kind} ${now} after ${last.value}.`,
      evidence: { before: last.value, now },
    })),
};

export const counterJump: FlagKind = {
  code: 'G03',
  title: 'A counter that went on faster than the vehicle can',
  reason: 'In the time since the last fill the vehicle cannot have gone so far: a digit too many, or another vehicle.',
  next: 'Read the counter on the vehicle and correct the reading.',
  source: PRACTICE,
  find: (history) =>
    wrongReadings(history, 'fast', ({ now, last, most, fill }, kind, name) => {
      const hours = Math.round((fill.from - last.fill.from) / 360_000) / 10;
      return {
        text: `${name}: ${kind} ${now}, ${now - last.value} more than ${hours} hours before.`,
        evidence: { before: last.value, now, hours, most: Math.round(most) },
      };
    }),
};

type Wrong = Reading & Required<Pick<Reading, 'last'>>;

function* wrongReadings(
  history: History,
  wrong: Reading['wrong'],
  words: (reading: Wrong, kind: string, name: string) => Pick<Found, 'text' | 'evidence'>,
): Generator<Found> {
  for (const [id, fills] of history.byVehicle)
    for (const kind of ['odometer', 'hours'] as const)
      for (const r of readingsOf(history, fills, kind)) {
        if (r.wrong !== wrong || !r.last || r.fill.from < history.since) continue;
        yield {
          at: r.fill.from,
          on: [
            { table: 'fills', id: r.fill.id },
            { table: 'vehicles', id },
            { table: 'fills', id: r.last.fill.id },
          ],
          ...words(r as Wrong, kind, history.called('vehicles', id)),
        };
      }
}
