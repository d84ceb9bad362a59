/** What a request is to the page's own worker. */
export type Kind =
  /** Part of the desk itself, named by its content. */
  | 'file'
  /** The desk, at whatever address. */
  | 'page'
  /** An answer without which a worksheet cannot be opened: kept for when the office is not heard. */
  | 'answer'
  /** Signing in or out: what is kept is another's from then on. */
  | 'session'
  /** Not for the worker. */
  | 'other';

const ANSWERS = /^\/api\/(?:office|session|draft|worksheets(?:\/[^/]+)?)$/;

export function kindOf(method: string, url: URL, origin: string, navigates: boolean, files: ReadonlySet<string>): Kind {
  if (url.origin !== origin) return 'other';
  if (method !== 'GET') return url.pathname === '/api/session' ? 'session' : 'other';
  if (navigates) return url.pathname.startsWith('/api/') ? 'other' : 'page';
  if (files.has(url.pathname)) return 'file';
  return ANSWERS.test(url.pathname) ? 'answer' : 'other';
}
