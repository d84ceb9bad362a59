import { spawn, spawnSync } from 'node:child_process';
import { afterEach, describe, expect, it } from 'vitest';
import { armed, draw, hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, world } from './testing/world.ts';

/** A whole box whose disk answers with errors: strace stands between this process and the kernel. */
const STRACE = spawnSync('strace', ['-o', '/dev/null', 'true'], { timeout: 20_000 }).status === 0;
const SKIPPED = STRACE ? '' : ' (SKIPPED: strace is not here or may not look)';

let r: Rig;
let mend = async () => {};
afterEach(async () => {
  await mend();
  await r.end();
});

/** From now on every write and sync of this process fails so, until it is mended. */
async function ailing(error: 'EIO' | 'ENOSPC'): Promise<void> {
  // What the journal writes with; sockets and pipes use other calls.
  const calls = error === 'EIO' ? 'pwrite64,fsync,fdatasync' : 'pwrite64';
  const options = ['-e', `trace=${calls}`, '-e', `inject=${calls}:error=${error}`];
  const tracer = spawn('strace', ['-f', '-o', '/dev/null', ...options, '-p', String(process.pid)]);
  const over = new Promise<void>((done) => tracer.once('close', () => done()));
  let said = '';
  await new Promise<void>((done, failed) => {
    tracer.once('close', () => failed(new Error(said)));
    tracer.stderr.on('data', (text) => {
      said += text;
      if (said.includes('attached')) done();
    });
  });
  // All threads are attached a moment after the first is reported.
  await new Promise((done) => setTimeout(done, 300));
  mend = async () => {
    mend = async () => {};
    tracer.kill('SIGINT');
    await over;
  };
}

describe.skipIf(!STRACE)(`a box whose disk fails${SKIPPED}`, () => {
  it.each(['EIO', 'ENOSPC'] as const)(
    'with %s ends what flows, serves nobody, says so, and loses no pulse when the disk is well again',
    async (error) => {
      r = await rig();
      r.office.offer(r.office.bundle(world(), 1));
      await r.boot();
      await r.until('a running release', () => r.site.view().running === 1);
      await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
      await armed(r, CARD.ada);
      r.yard.lift('h1');
      await r.run(500);
      r.yard.squeeze('h1', 1);
      await r.run(4_000);
      expect(r.yard.look().hoses.h1?.open).toBe(true);

      await ailing(error);
      await r.flow('a closed hose', () => r.yard.look().hoses.h1?.open === false);
      r.yard.hang('h1');
      await r.flow('a closed terminal', () => r.screen() === 'out');
      expect(r.site.view().troubles.join()).toContain('FW-601');
      expect(r.site.view().terminals[0]?.lines.join(' ')).toContain('recorded');
      const flowed = r.yard.look().hoses.h1?.count ?? 0;
      expect(flowed).toBeGreaterThan(0);
      // Nobody is served, however often they come and however often the box looks whether the disk is well.
      for (let i = 0; i < 3; i++) {
        r.yard.present('term', CARD.bo);
        await r.run(15_000);
        expect(['out', 'refused']).toContain(r.screen());
        expect(Object.values(r.yard.look().hoses).some((h) => h.open)).toBe(false);
      }

      await mend();
      await r.flow('an open terminal', () => r.screen() === 'idle');
      expect(r.site.view().troubles.join()).not.toContain('FW-601');
      const told = () =>
        r.journal().reduce((sum, e) => sum + (e.kind === 'ended' || e.kind === 'alarm' ? (e.pulses ?? 0) : 0), 0);
      await r.both('every pulse at the office', () => told() === flowed);
      expect(r.journal().filter((e) => e.kind === 'ended')).toHaveLength(1);
      await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
      await armed(r, CARD.bo);
      await draw(r, 'h1', 3);
      await r.both('the next fill at the office', () => r.journal().filter((e) => e.kind === 'ended').length === 2);
    },
  );
});
