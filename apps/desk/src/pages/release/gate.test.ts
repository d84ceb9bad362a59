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
const draft = { version: 4, kept: true, may: true };

it('lets a draft through that has neither errors nor warnings', () => {
  expect(gateOf(preview([finding('n', 'note')]), {}, draft).stops).toBeUndefined();
});
it('is stopped by errors, whatever words are given', () => {
  expect(gateOf(preview([finding('e', 'error')]), { e: 'fine' }, draft).stops).toContain('Errors');
});
it('wants a word for every warning, and blanks are no word', () => {
  const p = preview([finding('w1', 'warning'), finding('w2', 'warning')]);
  const half = gateOf(p, { w1: 'known', w2: '  ' }, draft);
  expect(half.open.map((f) => f.id)).toEqual(['w2']);
  expect(half.stops).toContain('word');
  const whole = gateOf(p, { w1: ' known ', w2: 'meant', gone: 'old' }, draft);
  expect(whole.stops).toBeUndefined();
  expect(wordsFor(whole, { w1: ' known ', w2: 'meant', gone: 'old' })).toEqual({ w1: 'known', w2: 'meant' });
});
it('waits for changes on their way, and refuses an unchanged draft or a viewer', () => {
  expect(gateOf(preview([]), {}, { ...draft, version: 5 }).stops).toContain('Waiting');
  expect(gateOf(preview([]), {}, { ...draft, kept: false }).stops).toContain('Waiting');
  expect(gateOf(preview([], true), {}, draft).stops).toContain('nothing to release');
  expect(gateOf(preview([]), {}, { ...draft, may: false }).stops).toContain('editor');
});
