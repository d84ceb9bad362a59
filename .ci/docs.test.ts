import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, expect, it } from 'vitest';

/** What people read names files and folders: each of them is there. */
const ROOTS = /^(packages|apps|bench|e2e|docs|\.ci)\/[\w./-]*$/;
const TOP = /^(\.dependency-cruiser\.mjs|[A-Z]+\.md|package\.json|biome\.json|knip\.json|vitest\.config\.ts)$/;

const pages = ['README.md', 'CONTRIBUTING.md', 'bench/README.md', ...markdownIn('docs')];

function markdownIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile() && e.name.endsWith('.md'))
    .map((e) => join(e.parentPath, e.name));
}

function pathsIn(text: string): string[] {
  const ticked = [...text.matchAll(/`([^`\n]+)`/g)].map((m) => m[1] as string);
  return ticked.filter((t) => ROOTS.test(t) || TOP.test(t));
}

function linksIn(text: string): string[] {
  const targets = [...text.matchAll(/\]\(([^)\s]+)\)/g)].map((m) => m[1] as string);
  return targets.filter((t) => !/^(\w+:|#)/.test(t)).map((t) => t.replace(/#.*$/, ''));
}

describe('documents', () => {
  it.each(pages)('%s names only paths that are there', (page) => {
    const text = readFileSync(page, 'utf8');
    const missing = [
      ...pathsIn(text).filter((path) => !existsSync(path)),
      ...linksIn(text).filter((link) => !existsSync(normalize(join(dirname(page), link)))),
    ];
    expect(missing).toEqual([]);
  });

  it('a path that is not there would be seen', () => {
    const text = 'See `packages/core/src/nowhere.ts`, `npm start` and [this](nowhere.md).';
    expect(pathsIn(text)).toEqual(['packages/core/src/nowhere.ts']);
    expect(linksIn(text)).toEqual(['nowhere.md']);
    expect(existsSync('packages/core/src/nowhere.ts')).toBe(false);
  });

  it('the README’s test line is the one that CI runs', () => {
    const lines = readFileSync('README.md', 'utf8').split('\n');
    expect(lines.filter((l) => /^ *npm ci && npm test *$/.test(l))).toHaveLength(1);
    expect(lines.filter((l) => /^ *npm ci && npm run demo *$/.test(l))).toHaveLength(1);
  });
});
