import { type Caller, call } from '@fillwright/wire';
import { must } from './office.ts';

/** A caller that is signed in, for this process only. */
export async function signedIn(base: string, email: string, password: string): Promise<Caller> {
  let cookie = '';
  const listening: typeof fetch = async (input, init) => {
    const response = await fetch(input, init);
    cookie = cookieOf(response);
    return response;
  };
  must(await call({ base, fetch: listening }, 'signIn', { body: { email, password } }));
  return { base, fetch, headers: { cookie } };
}

export const cookieOf = (response: Response): string =>
  response.headers
    .getSetCookie()
    .map((c) => c.split(';')[0])
    .join('; ');
