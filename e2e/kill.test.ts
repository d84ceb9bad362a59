import { randomFrom } from '@fillwright/sim';
import { call } from '@fillwright/wire';
import { afterAll, describe, expect, it } from 'vitest';
import { compareBooks, drain } from './stage/audit.ts';
import { Box } from './stage/box.ts';
import { HOSES, smallFleet, YARD } from './stage/fleet.ts';
import { flowing, litresOf } from './stage/hands.ts';
import { must, Office } from './stage/office.ts';
import { openStage } from './stage/stage.ts';

/**
 * Office and box are killed without a word while fuel flows, again and again; then both books are laid beside each other.
 * FILLWRIGHT_KILLS sets how many rounds; a round kills each once. FILLWRIGHT_SEED sets where in a fill.
 */
const ROUNDS = Number(process.env.FILLWRIGHT_KILLS ?? 4);
const SEED = process.env.FILLWRIGHT_SEED ?? 'ebb';
const RUN = { pace: 40, traffic: SEED };
/** A checkpoint is written at the first count that is 0.5 l past the last one; the page shows hundredths of a gallon. */
const UNSAVED_LITRES = 0.5 + 0.02;
const stage = openStage();
afterAll(() => stage.end());

describe('office and box are killed in mid-fill', () => {
  it(
    `${ROUNDS} rounds lose nothing and count nothing twice`,
    async () => {
      const random = randomFrom(SEED);
      const office = await Office.open(stage);
      await office.commission(smallFleet());
      const box = new Box(stage, YARD);
      await box.join(office, RUN);
      await box.until('the box runs release 1', (v) => v.running === 1);
      /** What the page last showed of fills that a kill cut off, by hose. */
      const cut: { hose: string; litres: number; round: number }[] = [];

      const officeIsBack = async () => {
        await office.start();
        await office.signIn();
        await office.until('the box is heard again', async () => {
          const site = await office.site(YARD);
          return site?.link === 'here' && site.running === 1;
        });
      };

      for (let round = 1; round <= ROUNDS; round++) {
        const litresAt = () => random.whole(3, 60);
        await flowing(box, random.whole(0, 5), random.pick(HOSES), litresAt());
        await office.kill(random.chance(0.5));
        const lone = await flowing(box, random.whole(0, 5), random.pick(HOSES), litresAt());
        expect(lone.length).toBeGreaterThan(0);
        const together = random.chance(0.5);
        if (!together) await officeIsBack();

        await flowing(box, random.whole(0, 5), random.pick(HOSES), litresAt());
        const { hoses } = await box.view();
        await box.kill();
        for (const h of hoses) if (h.lamp === 'flowing') cut.push({ hose: h.id, litres: litresOf(h.quantity), round });
        if (together) await office.start().then(() => office.signIn());
        await box.start(RUN);
        await box.until('the box runs release 1 again', (v) => v.running === 1 && v.hoses.length === HOSES.length);
        if (together) await office.until('the box is heard', async () => (await office.site(YARD))?.link === 'here');
      }

      await flowing(box, 0, HOSES[0], 3);
      await drain(office, box, { pace: RUN.pace });
      const journal = await compareBooks(office, box);

      // What a kill cut off is marked, and keeps all that was durable.
      expect(cut.length).toBeGreaterThanOrEqual(ROUNDS);
      const { fills } = await office.fills();
      const interrupted = fills.filter((f) => f.state === 'interrupted').sort((a, b) => a.startedAt - b.startedAt);
      expect(interrupted.length).toBeGreaterThanOrEqual(cut.length);
      for (const hose of HOSES) {
        const seen = cut.filter((c) => c.hose === hose);
        const kept = interrupted.filter((f) => f.hose === hose && f.volume > 0).map((f) => f.volume / 1_000_000);
        for (const c of seen)
          expect(
            kept.some((litres) => litres >= c.litres - UNSAVED_LITRES),
            `hose ${hose} had shown ${c.litres} l when round ${c.round} cut it off; kept are ${kept.join(', ')}`,
          ).toBe(true);
      }

      // The office holds the same chain.
      const some = interrupted[0];
      if (some) {
        const detail = must(await call(office.caller, 'fill', { params: { id: some.id } }));
        const bySeq = new Map(journal.entries.map((e) => [e.seq, e.hash]));
        expect(detail.entries.length).toBeGreaterThan(1);
        for (const e of detail.entries) expect(e.hash, String(e.seq)).toBe(bySeq.get(e.seq));
      }
    },
    600_000 + ROUNDS * 60_000,
  );
});
