import { type Caller, call, type ReplyOf } from '@fillwright/wire';
import { must } from './office.ts';

export interface SignedIn {
  readonly me: ReplyOf<'signIn'>;
  /** Of the session, as it goes back in a header. */
  readonly cookie: string;
  /** A caller of this process that is signed in. */
  readonly caller: Caller;
}

/** Signs in at an office; who wants to stay so keeps the cookie. */
export async function signedIn(base: string, email: string, password: string): Promise<SignedIn> {
  let cookie = '';
  const listening: typeof fetch = async (input, init) => {
    const response = await fetch(input, init);
    const cookies = response.headers.getSetCookie().map((c) => c.split(';')[0]);
    cookie = cookies.join('; ');
    return response;
  };
  const me = must(await call({ base, fetch: listening }, 'signIn', { body: { email, password } }));
  return { me, cookie, caller: { base, fetch, headers: { cookie } } };
}
