import type { Fleet } from '@fillwright/core/fleet';
import { expect, test } from 'vitest';
import { edited } from '../../../../packages/core/test/edited.ts';
import { seeded, smallWorld } from '../../../../packages/core/test/small-world.ts';
import { partsBetween } from '../data/findings-message.ts';
import { answering } from './answer.ts';
import type { Ask, FromReach, Pair } from './message.ts';
import type { Told } from './told.ts';

const TODAY = Date.UTC(2026, 2, 6) / 86_400_000;
const WITHIN = { driver: null, vehicle: null, department: null, site: null, product: null };

/** A worker as the page drives it: it hears what changed since the fleet that it was told, then the question. */
function openWorker() {
  const take = answering();
  let told: Fleet | undefined;
  return async (fleet: Fleet, ask: Ask): Promise<FromReach> => {
    for (const part of partsBetween(told, fleet)) await take({ settings: fleet.settings, part }, () => undefined);
    told = fleet;
    const heard: FromReach[] = [];
    await take({ settings: fleet.settings, ask }, (said) => heard.push(said));
    return heard.at(-1) as FromReach;
  };
}

/** An answer without what depends on the order in which classes and reasons were met: names out of many, numbers of reasons. */
function plain(answer: FromReach): unknown {
  const lines = (told: Told) =>
    told.lines
      .map((l) =>
        [l.kind, l.product, l.sites, l.hoses, l.before, l.after, l.whyBefore, l.whyAfter, `${l.points}`].join(),
      )
      .sort();
  if (answer.kind === 'behind' || answer.kind === 'change') return [lines(answer.told), answer.told.looked];
  if (answer.kind !== 'compare') return answer;
  const { told, weeks, sites } = answer.compared;
  return [lines(told), told.points, [...weeks].sort((a, b) => a.id.localeCompare(b.id)), sites.length];
}

function anyQuestion(fleet: Fleet, random: () => number): Ask {
  const one = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const sites = [...fleet.sites.keys()];
  const two = { kind: 'sites', of: 'draft', first: one(sites), second: one(sites) } as const;
  const fleets = (before: 'draft' | null, after: 'draft' | null): Pair => ({ kind: 'fleets', before, after });
  const pair = one<Pair>([two, fleets(null, 'draft'), fleets('draft', null)]);
  const asked = { today: TODAY, pair, within: { ...WITHIN, driver: one([null, ...fleet.drivers.keys()]) } };
  return one<Ask>([
    { kind: 'compare', ...asked },
    {
      kind: 'behind',
      ...asked,
      span: one([
        { from: 0, to: 10_080 },
        { from: 480, to: 2_000 },
      ]),
    },
    { kind: 'change', today: TODAY, since: null, about: null },
  ]);
}

test('what a worker kept makes no difference: it answers as one does that is asked for the first time', async () => {
  const random = seeded(11);
  for (let seed = 1; seed <= 12; seed++) {
    const other = smallWorld(seed + 100).fleet;
    let { fleet } = smallWorld(seed);
    const ask = openWorker();
    for (let n = 0; n < 14; n++) {
      const question = anyQuestion(fleet, random);
      // Often the same fleet, and the same two again.
      const questions = random() < 0.5 ? [question] : [question, question];
      for (const q of questions)
        expect(plain(await ask(fleet, q)), `seed ${seed}, question ${n}`).toEqual(plain(await openWorker()(fleet, q)));
      if (random() < 0.6) fleet = edited(fleet, other, random);
    }
  }
});
