import { z } from 'zod';
import * as s from '../replies.ts';
import { none, type Route } from './route.ts';

export const people = {
  office: {
    method: 'GET',
    path: '/api/office',
    may: 'anyone',
    summary: 'Whether this office has an owner yet',
    reply: s.office,
  },
  firstOwner: {
    method: 'POST',
    path: '/api/office/owner',
    may: 'anyone',
    summary: 'Make the first owner and the fleet',
    body: z.strictObject({
      fleetName: z.string().min(1).max(200),
      units: z.enum(['us', 'metric']),
      currency: z.string().regex(/^[A-Z]{3}$/),
      name: z.string().min(1).max(200),
      email: z.email(),
      password: z.string().max(500),
    }),
    reply: s.me,
  },
  signIn: {
    method: 'POST',
    path: '/api/session',
    may: 'anyone',
    summary: 'Sign in',
    body: z.strictObject({ email: z.string().max(300), password: z.string().max(500) }),
    reply: s.me,
  },
  signOut: { method: 'DELETE', path: '/api/session', may: 'viewer', summary: 'Sign out', reply: none },
  me: { method: 'GET', path: '/api/session', may: 'viewer', summary: 'Who is signed in', reply: s.me },
  accounts: {
    method: 'GET',
    path: '/api/accounts',
    may: 'owner',
    summary: 'The people who may sign in',
    reply: z.array(s.account),
  },
  addAccount: {
    method: 'POST',
    path: '/api/accounts',
    may: 'owner',
    summary: 'Let somebody sign in',
    body: z.strictObject({
      name: z.string().min(1).max(200),
      email: z.email(),
      role: s.role,
      password: z.string().max(500),
    }),
    reply: s.account,
  },
  changeAccount: {
    method: 'PATCH',
    path: '/api/accounts/:id',
    may: 'owner',
    summary: 'Change a role, a password, or close an account',
    params: z.object({ id: z.string() }),
    body: z.strictObject({
      role: s.role.optional(),
      open: z.boolean().optional(),
      password: z.string().max(500).optional(),
    }),
    reply: s.account,
  },
} as const satisfies Record<string, Route>;
