import { ROUTES } from '@fillwright/wire';
import { expect, test } from 'vitest';
import { kindOf } from './kinds.ts';

const files = new Set(['/assets/main-1a2b.js']);
const at = (path: string, method = 'GET', navigates = false) =>
  kindOf(method, new URL(path, 'https://desk.example'), 'https://desk.example', navigates, files);

test('keeps the desk itself, and the answers that a worksheet needs, by the routes as they are', () => {
  expect(at('/assets/main-1a2b.js')).toBe('file');
  expect(at('/worksheet?sheet=w1', 'GET', true)).toBe('page');
  for (const route of ['office', 'me', 'draft', 'worksheets', 'worksheet'] as const)
    expect(at(ROUTES[route].path.replace(':id', 'w1')), route).toBe('answer');
});

test('leaves everything else to the line: what is written, what is drawn on, papers, photos, other sites', () => {
  const kept = ['office', 'me', 'draft', 'worksheets', 'worksheet'];
  for (const [name, { path, method }] of Object.entries(ROUTES)) {
    if (kept.includes(name) || path === '/api/session') continue;
    expect(at(path.replaceAll(/:\w+/g, 'x'), method), name).toBe('other');
  }
  expect(at('https://elsewhere.example/assets/main-1a2b.js')).toBe('other');
  expect(at('/api/worksheets/w1/paper', 'GET', true)).toBe('other');
  expect(at('/assets/of-another-build.js')).toBe('other');
});

test('knows signing in and out', () => {
  expect(at(ROUTES.signIn.path, ROUTES.signIn.method)).toBe('session');
  expect(at(ROUTES.signOut.path, ROUTES.signOut.method)).toBe('session');
});
