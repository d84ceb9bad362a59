import type { Problem, Result } from '@fillwright/core/errors';
import type { Me, ReplyOf, RouteName, Routes } from '@fillwright/wire';
import type { z } from 'zod';
import type { App } from '../app.ts';

type Out<R, K extends string> = R extends { readonly [P in K]: infer S extends z.ZodType } ? z.output<S> : undefined;

/** A request as its route's schemas gave it. */
export interface Asked<N extends RouteName> {
  readonly app: App;
  readonly params: Out<Routes[N], 'params'>;
  readonly query: Out<Routes[N], 'query'>;
  readonly body: Routes[N] extends { body: z.ZodType } ? Out<Routes[N], 'body'> : unknown;
  /** Who asks: certain unless the route is for anyone. */
  readonly who: Routes[N]['may'] extends 'anyone' ? Me | undefined : Me;
  /** Aborted when whoever asks has gone away: long work need not be finished. */
  readonly signal: AbortSignal;
  /** Tells whoever asked how far long work is. */
  say(progress: { readonly done: number; readonly of: number }): void;
  /** The session's cookie as it came. */
  readonly cookie: string | undefined;
  /** Signs the browser in, or out with undefined. */
  setSession(cookie: string | undefined): void;
  /** What a file is called when it is kept. */
  fileName(name: string): void;
}

export type Answer<T> = Result<T, readonly Problem[]>;
/** Routes that reply with a file give its bytes. */
type Reply<N extends RouteName> = Routes[N] extends { file: string } ? Uint8Array | string : ReplyOf<N>;
type Handler<N extends RouteName> = (asked: Asked<N>) => Promise<Answer<Reply<N>>>;
export type Handlers = { readonly [N in RouteName]: Handler<N> };
/** The handlers of some routes, checked where they are written. */
export type HandlersOf<N extends RouteName> = Pick<Handlers, N>;
