import { crc32, deflateRawSync } from 'node:zlib';

/** Writes zip archives for tests, able to lie about what is inside. */

export interface Entry {
  readonly name: string;
  readonly data: Buffer;
  /** What the archive says that the entry unpacks to, when that is not the truth. */
  readonly declaredSize?: number;
}

export function zipOf(entries: readonly Entry[]): Buffer {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const { name, data, declaredSize } of entries) {
    const packed = deflateRawSync(data, { level: 9 });
    const nameBytes = Buffer.from(name);
    const common = Buffer.alloc(26);
    common.writeUInt16LE(20, 0);
    common.writeUInt16LE(0x800, 2);
    common.writeUInt16LE(8, 4);
    common.writeUInt32LE(crc32(data), 10);
    common.writeUInt32LE(packed.length, 14);
    common.writeUInt32LE(declaredSize ?? data.length, 18);
    common.writeUInt16LE(nameBytes.length, 22);
    const local = Buffer.concat([Buffer.from([0x50, 0x4b, 3, 4]), common, nameBytes, packed]);
    const tail = Buffer.alloc(14);
    tail.writeUInt32LE(offset, 10);
    directory.push(Buffer.concat([Buffer.from([0x50, 0x4b, 1, 2, 20, 0]), common, tail, nameBytes]));
    parts.push(local);
    offset += local.length;
  }
  const central = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(entries.length, 8);
  end.writeUInt16LE(entries.length, 10);
  end.writeUInt32LE(central.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...parts, central, end]);
}

const XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const RELATIONS = 'http://schemas.openxmlformats.org/package/2006/relationships';
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';

export interface BookParts {
  /** The rows of each sheet, as XML inside sheetData. */
  readonly sheets: readonly { readonly name: string; readonly rows: string }[];
  readonly strings?: readonly string[];
  /** The inside of styleSheet. */
  readonly styles?: string;
  readonly workbookProperties?: string;
  /** Goes before the root of the first sheet. */
  readonly prologue?: string;
  readonly more?: readonly Entry[];
}

/** The least workbook that ECMA-376 allows, with whatever a test wants inside. */
export function workbookOf(parts: BookParts): Buffer {
  const text = (name: string, xml: string): Entry => ({ name, data: Buffer.from(XML + xml) });
  const relation = (id: string, type: string, target: string) =>
    `<Relationship Id="${id}" Type="${OFFICE}/${type}" Target="${target}"/>`;
  const n = parts.sheets.length;
  return zipOf([
    text('[Content_Types].xml', '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'),
    text(
      '_rels/.rels',
      `<Relationships xmlns="${RELATIONS}">${relation('a', 'officeDocument', 'xl/workbook.xml')}</Relationships>`,
    ),
    text(
      'xl/workbook.xml',
      `<workbook xmlns="${MAIN}" xmlns:r="${OFFICE}">${parts.workbookProperties ?? ''}<sheets>${parts.sheets
        .map((s, i) => `<sheet name="${s.name}" sheetId="${i + 1}" r:id="s${i}"/>`)
        .join('')}</sheets></workbook>`,
    ),
    text(
      'xl/_rels/workbook.xml.rels',
      `<Relationships xmlns="${RELATIONS}">${parts.sheets
        .map((_, i) => relation(`s${i}`, 'worksheet', `worksheets/sheet${i + 1}.xml`))
        .join(
          '',
        )}${relation(`x${n}`, 'sharedStrings', 'sharedStrings.xml')}${relation(`y${n}`, 'styles', '/xl/styles.xml')}</Relationships>`,
    ),
    text(
      'xl/sharedStrings.xml',
      `<sst xmlns="${MAIN}">${(parts.strings ?? []).map((s) => `<si>${s}</si>`).join('')}</sst>`,
    ),
    text('xl/styles.xml', `<styleSheet xmlns="${MAIN}">${parts.styles ?? ''}</styleSheet>`),
    ...parts.sheets.map((s, i) =>
      text(
        `xl/worksheets/sheet${i + 1}.xml`,
        `${i === 0 ? (parts.prologue ?? '') : ''}<worksheet xmlns="${MAIN}"><sheetData>${s.rows}</sheetData></worksheet>`,
      ),
    ),
    ...(parts.more ?? []),
  ]);
}

export const oneSheet = (rows: string, more: Partial<BookParts> = {}): Buffer =>
  workbookOf({ sheets: [{ name: 'drivers', rows }], ...more });
