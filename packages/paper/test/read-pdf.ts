import { inflateSync } from 'node:zlib';

/**
 * The text of a PDF, page by page, a line for each text object: read from the file's own streams and character maps
 * (ISO 32000-1: 7.3.8 streams, 9.4 text objects, 9.10.3 ToUnicode CMaps), not by what wrote it. Enough for our own papers, and for tests only.
 */
export function readPdf(bytes: Uint8Array): { pages: string[]; title: string; language: string; raw: string } {
  const raw = Buffer.from(bytes).toString('latin1');
  const objects = new Map<string, string>();
  for (const m of raw.matchAll(/^(\d+) 0 obj\s([\s\S]*?)\sendobj/gm)) objects.set(m[1] as string, m[2] as string);
  const refs = (text: string, key: string) => /(\d+) 0 R/.exec(text.split(`/${key}`)[1] ?? '')?.[1] ?? '';
  const streamOf = (id: string): string => {
    const object = objects.get(id) ?? '';
    const at = object.indexOf('stream\n') + 7;
    const data = Buffer.from(object.slice(at, object.lastIndexOf('\nendstream')), 'latin1');
    return /\/Filter \/FlateDecode/.test(object) ? inflateSync(data).toString('latin1') : data.toString('latin1');
  };
  const maps = new Map<string, Map<number, string>>();
  const mapOf = (font: string) => {
    let map = maps.get(font);
    if (!map) {
      map = charMap(streamOf(refs(objects.get(font) ?? '', 'ToUnicode')));
      maps.set(font, map);
    }
    return map;
  };
  const kids = [...objects].filter(([, o]) => /\/Type \/Page\b/.test(o));
  const pages = kids.map(([, page]) => {
    const resources = objects.get(refs(page, 'Resources')) ?? page;
    const fonts = new Map(
      [...resources.matchAll(/\/(F\d+) (\d+) 0 R/g)].map((m) => [m[1] as string, m[2] as string] as const),
    );
    const lines: string[] = [];
    let font = '';
    for (const m of streamOf(refs(page, 'Contents')).matchAll(/\/(F\d+) [\d.]+ Tf|\[([^\]]*)\] TJ/g)) {
      if (m[1]) font = fonts.get(m[1]) ?? '';
      else {
        const hex = [...(m[2] as string).matchAll(/<([0-9a-f]*)>/gi)].map((h) => h[1]).join('');
        const glyphs = hex.match(/.{4}/g) ?? [];
        lines.push(glyphs.map((g) => mapOf(font).get(Number.parseInt(g, 16)) ?? '?').join(''));
      }
    }
    return lines.join('\n');
  });
  // A text, straight or by reference; one that does not fit in Latin letters is UTF-16 with a byte order mark (7.9.2.2).
  const text = (key: string) => {
    const at = raw.slice(raw.indexOf(`/${key} `) + key.length + 2);
    const id = /^(\d+) 0 R/.exec(at)?.[1];
    const stored = /^\s*\(((?:\\[\s\S]|[^\\)])*)\)/.exec(id === undefined ? at : (objects.get(id) ?? ''))?.[1] ?? '';
    const plain = Buffer.from(stored.replace(/\\([\s\S])/g, '$1'), 'latin1');
    return plain[0] === 0xfe && plain[1] === 0xff
      ? plain.subarray(2).swap16().toString('utf16le')
      : plain.toString('latin1');
  };
  return { pages, title: text('Title'), language: text('Lang'), raw };
}

function charMap(cmap: string): Map<number, string> {
  const map = new Map<number, string>();
  const words = (hex: string) => String.fromCharCode(...(hex.match(/.{4}/g) ?? []).map((h) => Number.parseInt(h, 16)));
  for (const m of cmap.matchAll(/<([0-9a-f]{4})> <([0-9a-f]{4})> \[([^\]]*)\]/gi)) {
    const from = Number.parseInt(m[1] as string, 16);
    for (const [n, h] of [...(m[3] as string).matchAll(/<([0-9a-f ]*)>/gi)].entries())
      map.set(from + n, words((h[1] as string).replaceAll(' ', '')));
  }
  return map;
}
