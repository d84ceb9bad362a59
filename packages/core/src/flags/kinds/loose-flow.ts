import { type FlagKind, PRACTICE } from '../flag.ts';

export const looseFlow: FlagKind = {
  code: 'G10',
  title: 'Flow without anybody let in',
  reason:
    'A meter counted while no session was open: a valve that leaks, a hose opened by hand, or a pulser that counts by itself.',
  next: 'Take the hose out of service until a qualified person has looked. Isolate and lock out before any work; follow local codes.',
  source: PRACTICE,
  *find({ loose, called, volumeText }) {
    for (const flow of loose)
      yield {
        at: flow.at,
        on: [
          { table: 'hoses', id: flow.hose },
          { table: 'loose', id: flow.id },
        ],
        text: `At ${called('sites', flow.site)} ${called('hoses', flow.hose)} counted ${volumeText(flow.volume)} with nobody let in.`,
        evidence: { volume: flow.volume },
      };
  },
};
