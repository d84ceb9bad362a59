import { randomBytes, timingSafeEqual } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import fastify, { type FastifyReply } from 'fastify';
import type { Clock } from '../clock.ts';
import type { Run } from '../runner/run.ts';
import { act, perform } from './acts.ts';
import type { Lessons } from './lessons.ts';
import type { SiteView } from './view.ts';

export interface Page {
  readonly url: string;
  changed(): void;
  close(): Promise<void>;
}

export interface PageOptions {
  readonly port: number;
  readonly host: string;
  readonly clock: Clock;
  readonly view: () => SiteView;
  readonly run: () => Run | undefined;
  /** Of a practice yard. */
  readonly lessons?: Lessons;
}

const FILES = {
  '/page.js': 'text/javascript',
  '/wedge.js': 'text/javascript',
  '/page.css': 'text/css',
  '/icon.svg': 'image/svg+xml',
} as const;
const SOON_MS = 80;
/** Pages that may act at once; the oldest is forgotten. */
const MOST_TOKENS = 50;
const MOST_LISTENERS = 50;

/**
 * The terminal's own page. It is the keypad and the reader of a box, so it listens on this machine only unless told otherwise, and acts
 * only for a page that it served itself: each page carries a token of its own.
 */
export async function openPage(options: PageOptions): Promise<Result<Page, Problem>> {
  const app = fastify({ bodyLimit: 10_000, forceCloseConnections: true });
  const tokens: Buffer[] = [];
  const listeners = new Set<FastifyReply['raw']>();
  const file = (name: string) => readFileSync(new URL(`./public/${name}`, import.meta.url), 'utf8');

  app.addHook('onRequest', async (request, reply) => {
    reply
      .header('x-content-type-options', 'nosniff')
      .header('cache-control', 'no-store')
      .header('referrer-policy', 'no-referrer');
    reply.header(
      'content-security-policy',
      "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
    );
    // A page of another name that resolves to this machine must not act here.
    if (isLoopback(options.host) && !/^(127\.0\.0\.1|localhost|\[::1\])(:\d+)?$/.test(request.headers.host ?? ''))
      return reply.code(421).send(refuse('This page answers only to its own address.'));
  });
  app.setNotFoundHandler((_, reply) => reply.code(404).send({ error: problem('FW-502') }));
  app.setErrorHandler((error: { statusCode?: number; message: string }, _, reply) => {
    const status = error.statusCode ?? 500;
    return reply.code(status).send({ error: problem(status < 500 ? 'FW-501' : 'FW-505', { found: error.message }) });
  });

  app.get('/', (_, reply) => {
    const token = randomBytes(24);
    tokens.push(token);
    if (tokens.length > MOST_TOKENS) tokens.shift();
    return reply.type('text/html').send(file('index.html').replace('{token}', token.toString('base64url')));
  });
  for (const [path, type] of Object.entries(FILES))
    app.get(path, (_, reply) => reply.type(type).send(file(path.slice(1))));
  app.get('/api/view', () => options.view());
  app.get('/api/events', (request, reply) => {
    if (listeners.size >= MOST_LISTENERS) return reply.code(503).send(refuse('Too many pages listen.'));
    reply.hijack();
    const { raw } = reply;
    raw.writeHead(200, {
      'content-type': 'text/event-stream',
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
    });
    raw.write(eventOf(options.view()));
    listeners.add(raw);
    request.raw.on('close', () => listeners.delete(raw));
    return reply;
  });
  app.post('/api/act', async (request, reply) => {
    if (!known(tokens, request.headers['x-page-token']))
      return reply.code(403).send(refuse('The page is not one that this box served. Load it anew.'));
    const read = act.safeParse(request.body);
    if (!read.success)
      return reply.code(400).send({ error: problem('FW-501', { found: read.error.issues[0]?.message ?? '' }) });
    const run = options.run();
    if (!run) return reply.code(409).send({ error: problem('FW-603') });
    if (!perform(read.data, run, options.lessons))
      return reply.code(404).send(refuse('There is no such terminal or hose here, or the yard is not simulated.'));
    // What is wrong is not always something that the machine hears of.
    if (read.data.do === 'practise') page.changed();
    return reply.code(204).send();
  });

  let waiting: (() => void) | undefined;
  const page = {
    url: '',
    changed() {
      if (waiting || listeners.size === 0) return;
      waiting = options.clock.after(SOON_MS, () => {
        waiting = undefined;
        const text = eventOf(options.view());
        // A page that does not read is dropped; it comes back by itself.
        for (const raw of listeners)
          if (raw.writableLength > 1_000_000) raw.destroy();
          else raw.write(text);
      });
    },
    async close() {
      waiting?.();
      for (const raw of listeners) raw.end();
      await app.close();
    },
  };
  try {
    page.url = await app.listen({ port: options.port, host: options.host });
    return ok(page);
  } catch (error) {
    await app.close();
    const { code } = error as { code?: string };
    const at = { field: 'port' };
    if (code === 'EADDRINUSE' || code === 'EACCES')
      return err(
        problem('FW-901', {
          at,
          found: String(options.port),
          ...(code === 'EACCES' ? { cause: 'The port may not be used by this account.' } : {}),
        }),
      );
    return err(problem('FW-901', { at, cause: 'The page cannot be served.', found: String(error) }));
  }
}

const eventOf = (view: SiteView): string => `data: ${JSON.stringify(view)}\n\n`;
const refuse = (cause: string) => ({ error: problem('FW-501', { cause }) });
const isLoopback = (host: string) => host === 'localhost' || host === '::1' || host.startsWith('127.');

function known(tokens: readonly Buffer[], given: unknown): boolean {
  if (typeof given !== 'string') return false;
  const bytes = Buffer.from(given, 'base64url');
  return tokens.some((t) => t.length === bytes.length && timingSafeEqual(t, bytes));
}
