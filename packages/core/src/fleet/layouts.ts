import { z } from 'zod';

/** What a terminal shows or prints, as rows of cells: aligned by the layout, never by spaces that someone types. */

/** Languages that a terminal can speak. */
export const LANGUAGE_NAMES = { en: 'English', es: 'Español', fr: 'Français' } as const;
export type LanguageId = keyof typeof LANGUAGE_NAMES;
export const LANGUAGE_IDS = Object.keys(LANGUAGE_NAMES) as LanguageId[];

const PLACE = { site: 'Site', address: 'Address', terminal: 'Terminal' } as const;
const DRAWN = {
  hose: 'Hose number',
  product: 'Product',
  quantity: 'Quantity',
  price: 'Price',
  amount: 'Amount',
} as const;
const SAYS = { says: 'What the terminal says' } as const;

/** Fields that each layout may show, with the words of the list that they are chosen from. */
export const LAYOUT_FIELDS = {
  idle: { ...SAYS, ...PLACE },
  flowing: { ...SAYS, ...PLACE, ...DRAWN, limit: 'Most that is given' },
  filled: { ...SAYS, ...PLACE, ...DRAWN },
  receipt: {
    ...PLACE,
    time: 'Date and time',
    fill: 'Number of the fill',
    ...DRAWN,
    driver: 'Driver',
    vehicle: 'Vehicle',
    odometer: 'Odometer',
    hours: 'Engine hours',
    job: 'Job number',
  },
} as const;
export type LayoutName = keyof typeof LAYOUT_FIELDS;
export type LayoutField = { [L in LayoutName]: keyof (typeof LAYOUT_FIELDS)[L] }[LayoutName];

const words = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^\p{Cc}]*$/u);
const align = z.enum(['left', 'centre', 'right']);
export type LayoutAlign = z.infer<typeof align>;

const MOST_CELLS = 6;
const MOST_ROWS = 60;

/**
 * A layout whose cells show one of `fields`: its value (`field`), its name in the driver's language (`label`), or own words by language,
 * of which at least one is there. A row without cells is an empty line.
 */
export function layoutSchema(fields: Readonly<Record<string, string>>) {
  const one = z.enum(Object.keys(fields) as [LayoutField, ...LayoutField[]]);
  const own = z.strictObject({ en: words.optional(), es: words.optional(), fr: words.optional() });
  const cell = z.union([
    z.strictObject({ field: one, align }),
    z.strictObject({ label: one, align }),
    z.strictObject({
      words: own.refine((w) => LANGUAGE_IDS.some((l) => w[l] !== undefined), {
        error: 'words in one language at least',
      }),
      align,
    }),
  ]);
  return z.array(z.array(cell).max(MOST_CELLS)).max(MOST_ROWS);
}

export type Words = { readonly [L in LanguageId]?: string | undefined };
export type LayoutCell = { readonly align: LayoutAlign } & (
  | { readonly field: LayoutField }
  | { readonly label: LayoutField }
  | { readonly words: Words }
);
export type LayoutRow = readonly LayoutCell[];
export type Layout = readonly LayoutRow[];

const cellText = (cell: LayoutCell): string => {
  if ('field' in cell) return `${cell.align} ${cell.field}`;
  if ('label' in cell) return `${cell.align} name of ${cell.label}`;
  const own = LANGUAGE_IDS.flatMap((l) =>
    cell.words[l] === undefined ? [] : [`${l} ${JSON.stringify(cell.words[l])}`],
  );
  return `${cell.align} ${own.join(' ')}`;
};

/** A row without cells. */
const BLANK = 'blank';

/**
 * A layout as one line of text: rows parted by semicolons, cells by bars, such as
 * 'centre en "Welcome" es "Bienvenido"; left name of quantity | right quantity; blank'.
 */
export const formatLayout = (layout: Layout): string =>
  layout.map((row) => (row.length === 0 ? BLANK : row.map(cellText).join(' | '))).join('; ');

const TOKENS = /\s*("(?:[^"\\]|\\.)*"|[|;]|[^\s|;"]+)/gy;

/** What `formatLayout` wrote; undefined where the text has another form. Which fields there are is for the schema. */
export function parseLayout(text: string): Layout | undefined {
  const rows: LayoutCell[][] = [[]];
  let cell: string[] = [];
  const end = (): boolean => {
    const read = cellOf(cell);
    if (read) rows.at(-1)?.push(read);
    const good = read !== undefined || (cell.length === 1 && cell[0] === BLANK && rows.at(-1)?.length === 0);
    cell = [];
    return good;
  };
  const bare = text.trim();
  if (bare === '') return undefined;
  let at = 0;
  while (at < bare.length) {
    TOKENS.lastIndex = at;
    const token = TOKENS.exec(bare)?.[1];
    if (token === undefined) return undefined;
    at = TOKENS.lastIndex;
    if (token !== '|' && token !== ';') cell.push(token);
    else if (!end()) return undefined;
    else if (token === ';') rows.push([]);
  }
  return end() ? rows : undefined;
}

function cellOf([where, ...rest]: readonly string[]): LayoutCell | undefined {
  const read = align.safeParse(where);
  if (!read.success || rest.length === 0) return undefined;
  const [first = '', second = '', third] = rest;
  if (rest.length === 1) return { field: first as LayoutField, align: read.data };
  if (rest.length === 3 && first === 'name' && second === 'of')
    return { label: third as LayoutField, align: read.data };
  const own: Partial<Record<LanguageId, string>> = {};
  for (let i = 0; i < rest.length; i += 2) {
    const language = rest[i] as LanguageId;
    const said = textOf(rest[i + 1]);
    if (!LANGUAGE_IDS.includes(language) || said === undefined || own[language] !== undefined) return undefined;
    own[language] = said;
  }
  return { words: own, align: read.data };
}

function textOf(token: string | undefined): string | undefined {
  if (!token?.startsWith('"')) return undefined;
  try {
    return JSON.parse(token) as string;
  } catch {
    return undefined;
  }
}
