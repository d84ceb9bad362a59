import { randomUUID } from 'node:crypto';
import type { Fleet } from '@fillwright/core/fleet';
import { demoPin, harrowmere } from '@fillwright/sim';
import { type Clock, preparePractice, type SiteOptions, sealPins } from '@fillwright/site';
import { welcomeAt, welcomeText } from './welcome.ts';

/** Of the yards of the invented fleet, the one for a first try: one island, two hoses, a driver's card is enough. */
export const LEARNERS_YARD = 'oxmere-mill';
export const practiceSites = (): string[] => [...harrowmere().sites.keys()];

type Practice = Pick<SiteOptions, 'practice' | 'practicePins' | 'practiceWords'>;

/** Makes a data folder a practice yard of the invented fleet, and gives what its box is started with. */
export function practiceYard(dataDir: string, site: string, clock: Clock) {
  const fleet: Fleet = harrowmere();
  const prepared = preparePractice({ dataDir, fleet, site, now: clock.now(), randomId: randomUUID });
  const welcome = prepared.ok ? welcomeAt(fleet, site, clock.now()) : undefined;
  const hint = welcome ? welcomeText(welcome) : undefined;
  const options: Practice = {
    practice: true,
    practicePins: (sealKey: string) => sealPins(fleet, sealKey, demoPin, 1),
    practiceWords: { pinOf: demoPin, ...(hint === undefined ? {} : { hint }) },
  };
  return { prepared, options, hint };
}
