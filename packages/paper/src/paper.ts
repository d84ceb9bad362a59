/** What a printed document says, without how it looks. Plain data: the same paper gives the same bytes. */
export interface Paper {
  /** Stands at the top and in the reader's title bar. */
  readonly title: string;
  /** One line below the title, such as whom or what it is about. */
  readonly subtitle?: string;
  /** The fleet's name, at the head of every page. */
  readonly fleet: string;
  /** Milliseconds UTC: the document's date. Passed in, never 'now'. */
  readonly asOf: number;
  /** The same moment as people read it, by whichever clock the document goes by. */
  readonly asOfText: string;
  readonly size: PageSize;
  readonly landscape?: boolean;
  /** A word across the head of every page, such as 'Draft: not released'. */
  readonly mark?: string;
  readonly parts: readonly Part[];
}

/** US Letter (ANSI/ASME Y14.1 A, 8.5 x 11 in) or ISO 216 A4 (210 x 297 mm). */
export type PageSize = 'letter' | 'a4';

export type Part =
  | { readonly kind: 'heading'; readonly text: string; readonly level: 1 | 2 }
  | { readonly kind: 'paragraph'; readonly text: string; readonly small?: boolean }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | { readonly kind: 'facts'; readonly rows: readonly (readonly [label: string, value: string])[] }
  | Table
  | { readonly kind: 'cautions'; readonly before: string; readonly more?: readonly string[] }
  | { readonly kind: 'signatures'; readonly roles: readonly string[]; readonly above?: string }
  | { readonly kind: 'picture'; readonly svg: string; readonly words: string }
  | { readonly kind: 'newPage' };

export interface Table {
  readonly kind: 'table';
  /** Above the table, and what it is called where it cannot be seen. */
  readonly caption?: string;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
  /** A last row set apart, such as sums; as many cells as columns. */
  readonly total?: readonly Cell[];
  /** Said instead of a table without rows. */
  readonly none?: string;
  /** Least height of a row in points (1/72 in), for tables that are written into by hand. */
  readonly rowHeight?: number;
}

export interface Column {
  readonly title: string;
  /** Figures stand right. */
  readonly align?: 'left' | 'right' | 'centre';
  /** Points, or a share of what is left ('wide'), or as the content needs ('fit'). */
  readonly width?: number | 'wide' | 'fit';
}

/** Text, or an empty box to tick, or a dotted line to write on. */
export type Cell = string | { readonly mark: 'box' | 'line' } | { readonly text: string; readonly bold: true };
