import type { Preview } from '@fillwright/wire';
import { expect, it } from 'vitest';
import { gateOf, wordsFor } from './gate.ts';

const finding = (id: string, severity: 'error' | 'warning' | 'note') => ({
  id,
  code: 'F101',
  severity,
  title: '',
  text: '',
  mend: '',
});
const preview = (findings: Preview['findings'], same = false): Preview => ({
  version: 4,
  base: 1,
  changes: ['x'],
  findings,
  same,
});
const nothing = { version: 4, base: 1, gained: { points: '0', groups: 0, lines: [] }, broken: [] };
const draft = { version: 4, kept: true, may: true };

it('lets a draft through that has neither errors nor warnings', () => {
  expect(gateOf(preview([finding('n', 'note')]), {}, nothing, draft).stops).toBeUndefined();
});
it('is stopped by errors, whatever words are given', () => {
  expect(gateOf(preview([finding('e', 'error')]), { e: 'fine' }, nothing, draft).stops).toContain('Errors');
});
it('wants a word for every warning, and blanks are no word', () => {
  const p = preview([finding('w1', 'warning'), finding('w2', 'warning')]);
  const half = gateOf(p, { w1: 'known', w2: '  ' }, nothing, draft);
  expect(half.open).toEqual(['w2']);
  expect(half.stops).toContain('word');
  const whole = gateOf(p, { w1: ' known ', w2: 'meant', gone: 'old' }, nothing, draft);
  expect(whole.stops).toBeUndefined();
  expect(wordsFor(whole, { w1: ' known ', w2: 'meant', gone: 'old' })).toEqual({ w1: 'known', w2: 'meant' });
});
it('waits for changes on their way, and refuses an unchanged draft or a viewer', () => {
  expect(gateOf(preview([]), {}, nothing, { ...draft, version: 5 }).stops).toContain('Waiting');
  expect(gateOf(preview([]), {}, nothing, { ...draft, kept: false }).stops).toContain('Waiting');
  expect(gateOf(preview([], true), {}, nothing, draft).stops).toContain('nothing to release');
  expect(gateOf(preview([]), {}, nothing, { ...draft, may: false }).stops).toContain('editor');
});
it('wants a word for what is gained and for each broken expectation, once the office has worked them out', () => {
  const p = preview([]);
  expect(gateOf(p, {}, undefined, draft).stops).toContain('who gains');
  expect(gateOf(p, {}, { ...nothing, version: 3 }, draft).stops).toContain('who gains');
  const broken = { id: 'w', sentence: '', wish: '', verdict: 'broken' as const, text: '', counterexample: null };
  const stands = { ...nothing, gained: { points: '12', groups: 1, lines: ['x'] }, broken: [broken] };
  const none = gateOf(p, {}, stands, draft);
  expect(none.open).toEqual(['expectation:w', 'gained']);
  expect(none.stops).toContain('word');
  const words = { 'expectation:w': 'agreed', gained: ' meant ' };
  const all = gateOf(p, words, stands, draft);
  expect(all.stops).toBeUndefined();
  expect(wordsFor(all, words)).toEqual({ 'expectation:w': 'agreed', gained: 'meant' });
});
