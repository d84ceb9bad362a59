import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Fleet, fieldsOf, rowsOf, TABLE_NAMES, TABLES } from '@fillwright/core/fleet';
import type { Page } from 'playwright-core';
import { ROOT } from '../stage/stage.ts';

/** Headings, buttons, links of the navigation, labels of fields and heads of columns, as they are read out. */
export async function labelsOn(page: Page): Promise<string[]> {
  const texts: string[] = await page.evaluate(`(() => {
    const seen = (node) => node.getClientRects().length > 0 && getComputedStyle(node).visibility !== 'hidden';
    const picked = document.querySelectorAll(
      'h1, h2, h3, [role=heading], button, nav a, label, .field-label, legend, th[scope=col], thead th, [role=columnheader], summary',
    );
    const text = (node) => {
      const copy = node.cloneNode(true);
      // What a label holds besides its words: inputs with their options, marks, and what is set apart as data.
      for (const inner of copy.querySelectorAll('input, select, textarea, svg, [aria-hidden=true], [data-names], .quiet, .field-note'))
        inner.remove();
      return copy.textContent.replace(/\\s+/g, ' ').trim();
    };
    return [...picked]
      .filter((node) => seen(node) && !node.closest('[data-names]'))
      .map((node) => node.getAttribute('aria-label') ?? text(node))
      .filter((t) => t !== '');
  })()`);
  return [...new Set(texts)];
}

const plain = (text: string): string => text.toLowerCase().replaceAll('’', "'").trim();
const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
/** '…' stands for whatever a label says of its data. */
const patternOf = (label: string): RegExp => new RegExp(`^${label.split('…').map(escaped).join('.*')}$`, 's');

/** What may stand on a page: words and labels of the glossary, fields and tables of the fleet. */
export function glossary(): RegExp[] {
  const text = readFileSync(join(ROOT, 'docs/glossary.md'), 'utf8');
  const labels = text.slice(text.indexOf('## Labels'));
  const words = [...text.matchAll(/\*\*([^*]+)\*\*/g)].flatMap((m) => (m[1] ?? '').split(/, | \/ /));
  const cells = labels
    .split('\n')
    .filter((line) => line.startsWith('| ') && !line.startsWith('| label') && !line.startsWith('| ---'))
    .map((line) => line.split(' | ')[0]?.slice(2) ?? '');
  const parts = cells.flatMap((cell) => [cell, ...cell.split(/[,:;·] ?/)]);
  const fields = TABLE_NAMES.flatMap((t) => [
    TABLES[t].one,
    TABLES[t].many,
    ...fieldsOf(t).flatMap((f) => [f.label, `add to ${f.label}`]),
  ]);
  return [...new Set([...words, ...parts, ...fields].map(plain).filter((p) => p !== '' && p !== '…'))].map(patternOf);
}

/** Names, moments, quantities and files are data, wherever they stand in a label: they become '…'. */
export function masker(fleet: Fleet, more: readonly string[]): (text: string) => string {
  const names = new Set(more.map(plain));
  for (const table of TABLE_NAMES)
    for (const row of rowsOf(fleet, table).values())
      for (const key of ['name', 'prompt', 'short', 'number', 'id'])
        if (typeof row[key] === 'string' && String(row[key]).length > 2) names.add(plain(String(row[key])));
  const longest = [...names].sort((a, b) => b.length - a.length);
  return (text) => {
    let masked = plain(text).replace(/\S+\.xlsx|\d{4}-\d\d-\d\d \d\d:\d\d(:\d\d)?( [a-z]{3,5})?/g, '…');
    for (const name of longest) masked = masked.replaceAll(name, '…');
    return masked
      .replace(/\d[\d.,:]*( (gal|l|usd)\b)?/g, '…')
      .replace(/\((gal|l|[a-z]{3,5})\)/g, '')
      .replace(/\s+/g, ' ')
      .trim();
  };
}

/** Labels that the glossary does not know, whole or part by part; a part of nothing but data is none, nor is one's data of another's. */
export function unknownLabels(
  labels: readonly string[],
  known: readonly RegExp[],
  mask: (text: string) => string,
): string[] {
  const knows = (text: string) => known.some((k) => k.test(text));
  const part = (text: string) =>
    /^(…|of|[\s.×–-])*$/.test(text) || knows(text) || knows(text.replaceAll('…', '').trim());
  return labels.filter((label) => {
    const masked = mask(label);
    return !knows(plain(label)) && !knows(masked) && !masked.split(',').every((p) => part(p.trim()));
  });
}
