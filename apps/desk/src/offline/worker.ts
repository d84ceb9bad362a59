import { kindOf } from './kinds.ts';
import type { Told } from './told.ts';

/**
 * Stands between the desk and the office so that a worksheet can be opened at an island without a line: the desk's own files come from
 * here, and a few answers of the office are kept and given again when it is not heard, which the page is told. Nothing that is sent is kept here.
 */
interface Late extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetched extends Late {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Scope {
  /** Written in front of this file when the desk is built: every file of that build. */
  readonly FILES: readonly string[];
  readonly location: Location;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(): Promise<readonly { postMessage(told: Told): void }[]>;
  };
  addEventListener(name: 'install' | 'activate', does: (event: Late) => void): void;
  addEventListener(name: 'fetch', does: (event: Fetched) => void): void;
}
const here = self as unknown as Scope;

const PAGE = '/';
const ANSWERS = 'answers';
const PATIENCE_MS = 10_000;
const KEPT_AT = 'x-kept-at';
const files = new Set(here.FILES);
/** One cache a build; the names of the files change with what is in them. */
const BUILD = `build ${[...files].join(' ')}`;

here.addEventListener('install', (event) => {
  event.waitUntil(caches.open(BUILD).then((cache) => cache.addAll([PAGE, ...files])));
});

here.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) if (name !== BUILD && name !== ANSWERS) await caches.delete(name);
      await here.clients.claim();
    })(),
  );
});

here.addEventListener('fetch', (event) => {
  const { request } = event;
  const kind = kindOf(request.method, new URL(request.url), here.location.origin, request.mode === 'navigate', files);
  if (kind === 'file') event.respondWith(fileOf(request));
  else if (kind === 'page') event.respondWith(pageOf(request));
  else if (kind === 'answer') event.respondWith(answerOf(request));
  else if (kind === 'session') event.waitUntil(caches.delete(ANSWERS));
});

async function fileOf(request: Request): Promise<Response> {
  const kept = await (await caches.open(BUILD)).match(request, { ignoreSearch: true });
  return kept ?? fetch(request);
}

async function pageOf(request: Request): Promise<Response> {
  const asked = fetch(request);
  const heard = await inTime(asked);
  return heard ?? (await (await caches.open(BUILD)).match(PAGE)) ?? asked;
}

async function answerOf(request: Request): Promise<Response> {
  const asked = fetch(request).then(async (answer) => {
    if (answer.ok) await keep(request, answer.clone());
    else if (answer.status === 401) await caches.delete(ANSWERS);
    await tell({ kind: 'heard' });
    return answer;
  });
  const heard = await inTime(asked);
  if (heard) return heard;
  const kept = await (await caches.open(ANSWERS)).match(request);
  if (!kept) return asked;
  await tell({ kind: 'kept', at: Number(kept.headers.get(KEPT_AT)) });
  return kept;
}

/** Undefined where it fails, or lasts longer than a person waits: a yard's line is often there and carries nothing. */
const inTime = (asked: Promise<Response>): Promise<Response | undefined> =>
  Promise.race([
    asked.catch(() => undefined),
    new Promise<undefined>((resolve) => setTimeout(() => resolve(undefined), PATIENCE_MS)),
  ]);

async function keep(request: Request, answer: Response): Promise<void> {
  const headers = new Headers(answer.headers);
  headers.set(KEPT_AT, String(Date.now()));
  await (await caches.open(ANSWERS)).put(request, new Response(await answer.blob(), { headers }));
}

async function tell(told: Told): Promise<void> {
  for (const client of await here.clients.matchAll()) client.postMessage(told);
}
