import { z } from 'zod';
import { wiring } from '../src/index.ts';

interface Schema {
  readonly description?: string;
  readonly type?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly default?: unknown;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: Schema | boolean;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly items?: Schema;
}

/** The reference page of the wiring file, made from its schema. */
export function wiringPage(): string {
  const schema = z.toJSONSchema(wiring, { io: 'input' }) as Schema;
  const rows = fieldsOf(schema, '');
  return `${[
    '# The wiring file',
    'Made from the schema in `packages/devices/src/modbus/wiring.ts`; do not edit by hand. One JSON object; `NAME` stands for a name of your own or an id of the fleet. Read by `fillwright site --yard` and `fillwright probe`. An example is in `docs/howto/wire-a-modbus-unit.md`.',
    [
      '| field | what | value | default |',
      '| --- | --- | --- | --- |',
      ...rows.map((r) => `| \`${r.path}\` | ${r.words} | ${r.value} | ${r.fallback} |`),
    ].join('\n'),
    'Beyond single fields it is refused when a name leads nowhere (FW-612), or when it would not be safe (FW-613): a hose on a unit without a watchdog, a watchdog shorter than four turns of its line, one output or one counter for two hoses, a hose whose points are on two lines, two units of one number.',
  ].join('\n\n')}\n`;
}

interface Row {
  readonly path: string;
  readonly words: string;
  readonly value: string;
  readonly fallback: string;
}

function fieldsOf(s: Schema, path: string): Row[] {
  const kinds = s.oneOf ?? (s.anyOf?.some((a) => a.properties) ? s.anyOf : undefined);
  if (kinds) {
    const seen = new Set<string>();
    return kinds
      .flatMap((k) => fieldsOf(k, path))
      .filter((r) => {
        const key = JSON.stringify(r);
        return !seen.has(key) && seen.add(key);
      });
  }
  return Object.entries(s.properties ?? {}).flatMap(([name, field]) => {
    const at = path === '' ? name : `${path}.${name}`;
    const must = s.required?.includes(name) ? 'must be given' : '';
    const fallback = field.default === undefined ? must : `\`${JSON.stringify(field.default)}\``;
    const inner = typeof field.additionalProperties === 'object' ? field.additionalProperties : undefined;
    const nested = inner ? fieldsOf(inner, `${at}.NAME`) : fieldsOf(field, at);
    const listed = field.items?.properties ? fieldsOf(field.items, `${at}[]`) : [];
    const words = (field.description ?? inner?.description ?? '').replaceAll('|', '\\|');
    return [{ path: at, words, value: wordsOf(field), fallback }, ...nested, ...listed];
  });
}

function wordsOf(s: Schema): string {
  if (s.const !== undefined) return `\`${JSON.stringify(s.const)}\``;
  if (s.enum) return s.enum.map((v) => `\`${JSON.stringify(v)}\``).join(', ');
  if (s.anyOf) return s.anyOf.map(wordsOf).join(', ');
  if (s.type === 'integer' || s.type === 'number') {
    const words = s.type === 'integer' ? 'whole number' : 'number';
    const bounded = s.minimum !== undefined && s.maximum !== undefined && Math.abs(s.minimum) < 2 ** 52;
    return bounded ? `${words}, ${s.minimum} to ${s.maximum}` : words;
  }
  if (s.type === 'array') return 'list';
  if (s.type === 'boolean') return '`true`, `false`';
  return s.type === 'string' ? 'text' : 'object';
}
