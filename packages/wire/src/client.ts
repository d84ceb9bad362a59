import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { z } from 'zod';
import { refused } from './replies.ts';
import { ROUTES, type Route, type RouteName, type Routes } from './routes.ts';

type In<R, K extends string> = R extends { readonly [P in K]: infer S extends z.ZodType } ? z.input<S> : undefined;
type Give<R> = (In<R, 'params'> extends undefined ? unknown : { params: In<R, 'params'> }) &
  (In<R, 'query'> extends undefined ? unknown : { query?: Partial<In<R, 'query'>> }) &
  (In<R, 'body'> extends undefined ? { file?: Uint8Array | Blob } : { body: In<R, 'body'> });

export type ReplyOf<N extends RouteName> = z.output<Routes[N]['reply']>;

export interface Caller {
  /** Such as 'http://127.0.0.1:8400', or '' in the browser. */
  readonly base: string;
  readonly fetch: typeof fetch;
  /** Extra headers, such as the session's cookie outside a browser. */
  readonly headers?: Readonly<Record<string, string>>;
}

export interface Failure {
  readonly status: number;
  readonly problem: Problem;
  readonly all: readonly Problem[];
}

/** The address of a route with its parameters and query filled in. */
export function urlOf(
  name: RouteName,
  give: { params?: Record<string, unknown>; query?: Record<string, unknown> },
): string {
  const path = ROUTES[name].path.replace(/:(\w+)/g, (_, key: string) => encodeURIComponent(String(give.params?.[key])));
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(give.query ?? {})) if (value !== undefined) query.set(key, String(value));
  return query.size > 0 ? `${path}?${query}` : path;
}

/** Calls a route; the answer is checked against the route's own schema on both sides. */
export async function call<N extends RouteName>(
  caller: Caller,
  name: N,
  give: Give<Routes[N]>,
): Promise<Result<ReplyOf<N>, Failure>> {
  const route: Route = ROUTES[name];
  const args = give as {
    params?: Record<string, unknown>;
    query?: Record<string, unknown>;
    body?: unknown;
    file?: BodyInit;
  };
  const init: RequestInit = { method: route.method, headers: { ...caller.headers }, credentials: 'same-origin' };
  if (args.file) {
    init.body = args.file;
    init.headers = { ...caller.headers, 'content-type': 'application/octet-stream' };
  } else if (route.body) {
    init.body = JSON.stringify(args.body);
    init.headers = { ...caller.headers, 'content-type': 'application/json' };
  }
  let response: Response;
  try {
    response = await caller.fetch(caller.base + urlOf(name, args), init);
  } catch (cause) {
    return err(failure(0, problem('FW-905', { found: String(cause) })));
  }
  if (!response.ok) {
    const body = refused.safeParse(await response.json().catch(() => undefined));
    if (!body.success) return err(failure(response.status, problem('FW-505', { found: `HTTP ${response.status}` })));
    return err({ status: response.status, problem: body.data.error as Problem, all: body.data.all as Problem[] });
  }
  const value = route.file ? await response.arrayBuffer() : route.reply.parse(await response.json());
  return ok(value as ReplyOf<N>);
}

const failure = (status: number, p: Problem): Failure => ({ status, problem: p, all: [p] });
