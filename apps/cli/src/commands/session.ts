import { createInterface } from 'node:readline/promises';
import { call } from '@fillwright/wire';
import { forget, keep } from '../office.ts';
import { signedIn } from '../signed-in.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

async function passwordOf(): Promise<string> {
  if (process.env.FILLWRIGHT_PASSWORD !== undefined) return process.env.FILLWRIGHT_PASSWORD;
  const ask = createInterface({
    input: process.stdin,
    output: process.stdin.isTTY ? process.stderr : undefined,
    terminal: process.stdin.isTTY,
  });
  const password = await ask.question(process.stdin.isTTY ? 'Password: ' : '');
  ask.close();
  return password;
}

export const signIn = command(
  'sign-in',
  'sign in to an office; the password comes from FILLWRIGHT_PASSWORD, standard input or the keyboard',
)
  .argument('<email>')
  .action(async (email: string, options: Common) => {
    const out = outputOf(options);
    const office = callerOf(options).base;
    const { me, cookie } = await signedIn(office, email, await passwordOf());
    keep({ office, cookie });
    out.line(`Signed in to ${me.fleetName} as ${me.name} (${me.role}).`);
    out.value(me);
  });

export const signOut = command('sign-out', 'forget the sign-in, here and at the office').action(
  async (options: Common) => {
    const out = outputOf(options);
    await call(callerOf(options), 'signOut', {});
    forget();
    out.line('Signed out.');
    out.value({});
  },
);
