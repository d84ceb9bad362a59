import type { ReplyOf } from './client.ts';

/** One word for everything of a release that wants one: for demonstrations and tests, where nobody is there to read it. */
export function oneWordForAll(
  preview: ReplyOf<'releasePreview'>,
  stands: ReplyOf<'releaseStands'>,
  word: string,
): Record<string, string> {
  const ids = [
    ...preview.findings.filter((f) => f.severity === 'warning').map((f) => f.id),
    ...stands.broken.map((e) => `expectation:${e.id}`),
    ...(stands.gained.points === '0' ? [] : ['gained']),
  ];
  return Object.fromEntries(ids.map((id) => [id, word]));
}
