import { afterEach, expect, test } from 'vitest';
import type { SiteView } from './page/view.ts';
import { startSite } from './site.ts';
import { hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, world } from './testing/world.ts';

let r: Rig;
afterEach(() => r.end());

async function running(): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(world(), 1));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === 1);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
}

const tokenOf = async () =>
  /name="page-token" content="([^"]+)"/.exec(await (await fetch(r.site.url)).text())?.[1] ?? '';
const act = (deed: object, token: string) =>
  fetch(`${r.site.url}/api/act`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'x-page-token': token },
    body: JSON.stringify(deed),
  });

test('a session by the page alone: card, hose, nozzle, receipt', async () => {
  await running();
  const token = await tokenOf();
  expect((await act({ do: 'card', terminal: 'term', number: CARD.ada }, token)).status).toBe(204);
  await r.flow('hoses to choose', () => r.screen() === 'choose');
  await act({ do: 'choose', terminal: 'term', hose: 'h1' }, token);
  await r.flow('an armed hose', () => r.screen() === 'authorised');
  await act({ do: 'lift', hose: 'h1' }, token);
  await r.run(500);
  await act({ do: 'squeeze', hose: 'h1', share: 1 }, token);
  await r.run(5_000);
  expect(r.site.view().hoses[0]).toMatchObject({ lamp: 'flowing', nozzleOut: true });
  await act({ do: 'hang', hose: 'h1' }, token);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  await act({ do: 'receipt', terminal: 'term' }, token);
  const view = (await (await fetch(`${r.site.url}/api/view`)).json()) as SiteView;
  expect(view.terminals[0]?.paper.join(' ')).toContain('gal');
  expect(view.terminals[0]?.lines.every((line) => [...line].length === view.terminals[0]?.columns)).toBe(true);
});

test('only a page that this box served may act, only with whole deeds, and only under its own address', async () => {
  await running();
  const token = await tokenOf();
  const key = { do: 'key', terminal: 'term', key: '1' };
  expect((await act(key, 'AAAA')).status).toBe(403);
  expect((await act({ ...key, key: 'F1' }, token)).status).toBe(400);
  expect((await act({ ...key, terminal: 'none' }, token)).status).toBe(404);
  const wrong = await act({ do: 'cleared', block: 'device', hose: 'h1', by: 'me' }, token);
  expect(wrong.status).toBe(400);
  // A yard that has joined an office has nothing to practise on, simulated or not.
  const fault = { do: 'practise', fault: 'hoseFault', hose: 'h1', on: true };
  expect((await act(fault, token)).status).toBe(404);
  expect(r.site.view().lessons).toEqual([]);
  expect(await wrong.json()).toMatchObject({ error: { code: 'FW-501' } });
  expect(await statusUnder('evil.example', r.site.url)).toBe(421);
  expect((await fetch(`${r.site.url}/nothing`)).status).toBe(404);
});

test('the page, its script, style and icon are served, and the caution stands by the hoses', async () => {
  await running();
  const html = await (await fetch(r.site.url)).text();
  expect(html).toContain('emergency stop');
  for (const [, path] of html.matchAll(/(?:href|src)="(\/[^"]+)"/g))
    expect((await fetch(`${r.site.url}${path}`)).status).toBe(200);
});

test('the page is told of changes', async () => {
  await running();
  const events = await fetch(`${r.site.url}/api/events`);
  const reader = events.body?.getReader();
  let text = '';
  const decoder = new TextDecoder();
  const reading = (async () => {
    for (let part = await reader?.read(); part && !part.done; part = await reader?.read())
      text += decoder.decode(part.value);
  })();
  await r.until('the first view', () => text.includes('"screen":"idle"'));
  r.yard.present('term', CARD.ada);
  await r.run(2_000);
  await r.until('the next view', () => text.includes('"screen":"choose"'));
  await reader?.cancel();
  await reading;
});

test('a port that is taken is a problem with a code', async () => {
  await running();
  const other = await rig();
  const taken = await startSite({
    dataDir: other.dir,
    clock: r.clock,
    port: Number(new URL(r.site.url).port),
    yard: () => ({ port: r.yard }),
  });
  expect(taken).toMatchObject({ ok: false, error: { code: 'FW-901' } });
  await other.end();
});

async function statusUnder(host: string, url: string): Promise<number> {
  const { request } = await import('node:http');
  return new Promise((resolve, reject) => {
    request(url, { headers: { host } }, (answer) => {
      answer.resume();
      resolve(answer.statusCode ?? 0);
    })
      .on('error', reject)
      .end();
  });
}
