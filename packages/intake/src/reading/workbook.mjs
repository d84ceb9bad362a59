// @ts-check
import { columnLetters } from './gather.mjs';
import { meaningOf, numberText } from './number-formats.mjs';
import { Refusal, tooMuch } from './refusal.mjs';
import { walkXml } from './xml.mjs';

/**
 * Reads the sheets of an Office Open XML workbook (ECMA-376 part 1, chapter 18) as text, streaming.
 * @typedef {import('./read-bytes.mjs').Limits} Limits
 * @typedef {import('./zip.mjs').Zip} Zip
 * @typedef {import('./number-formats.mjs').Meaning} Meaning
 */

const ROOT = '_rels/.rels';

/** @param {Zip} zip */
export const isWorkbook = (zip) => zip.has(ROOT) && zip.has('[Content_Types].xml');

/** Where a relationship leads: from the root, or from the folder of the part that has it. @param {string} from @param {string} target */
function resolvePath(from, target) {
  const parts = target.startsWith('/') ? [] : from.split('/').slice(0, -1);
  for (const step of target.split('/')) {
    if (step === '..') parts.pop();
    else if (step !== '.' && step !== '') parts.push(step);
  }
  return parts.join('/');
}

/** @param {Zip} zip @param {string} part */
async function relationsOf(zip, part) {
  const slash = part.lastIndexOf('/') + 1;
  const path = part === '' ? ROOT : `${part.slice(0, slash)}_rels/${part.slice(slash)}.rels`;
  /** @type {{ id: string, type: string, path: string }[]} */
  const relations = [];
  if (!zip.has(path)) return relations;
  await walkXml(zip.read(path), path, {
    open(name, attribute) {
      if (name !== 'Relationship' || attribute('TargetMode') === 'External' || relations.length > 1000) return;
      const type = attribute('Type') ?? '';
      const target = resolvePath(part, attribute('Target') ?? '');
      relations.push({ id: attribute('Id') ?? '', type: type.slice(type.lastIndexOf('/') + 1), path: target });
    },
  });
  return relations;
}

/** `_x0041_` stands for a character by its code (ECMA-376 part 1, 22.9.2.19). @param {string} text */
const unescaped = (text) =>
  text.includes('_x')
    ? text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, code) => String.fromCharCode(Number.parseInt(code, 16)))
    : text;

/** Text of runs, without the reading aids of East Asian text, under the cap. @param {Limits} limits @param {string} file */
function textCollector(limits, file) {
  let text = '';
  let aid = 0;
  let open = false;
  return {
    start: () => {
      text = '';
    },
    /** @param {string} name */
    open(name) {
      if (name === 'rPh') aid++;
      open = name === 't' && aid === 0;
    },
    /** @param {string} name */
    close(name) {
      if (name === 'rPh') aid--;
      open = false;
    },
    /** @param {string} more */
    add(more) {
      if (open) this.append(more);
    },
    /** @param {string} more */
    append(more) {
      text += more;
      if (text.length > limits.cellCharacters)
        throw tooMuch('characters in a cell', limits.cellCharacters, { in: file });
    },
    text: () => text,
  };
}

/** @param {Zip} zip @param {string} path @param {Limits} limits */
async function sharedStrings(zip, path, limits) {
  /** @type {string[]} */
  const strings = [];
  let characters = 0;
  const collect = textCollector(limits, path);
  await walkXml(zip.read(path), path, {
    open(name) {
      if (name === 'si') collect.start();
      else collect.open(name);
    },
    text: (text) => collect.add(text),
    close(name) {
      if (name !== 'si') return collect.close(name);
      const text = unescaped(collect.text());
      characters += text.length;
      if (strings.length >= limits.cells) throw tooMuch('texts', limits.cells, { in: path });
      if (characters > limits.characters) throw tooMuch('characters', limits.characters, { in: path });
      strings.push(text);
    },
  });
  return strings;
}

/** What each cell style makes of a number. @param {Zip} zip @param {string} path */
async function styleMeanings(zip, path) {
  /** @type {Map<number, string>} */
  const codes = new Map();
  /** @type {Meaning[]} */
  const meanings = [];
  let inCells = false;
  await walkXml(zip.read(path), path, {
    open(name, attribute) {
      if (name === 'cellXfs') inCells = true;
      else if (name === 'numFmt' && codes.size < 5000)
        codes.set(Number(attribute('numFmtId')), (attribute('formatCode') ?? '').slice(0, 255));
      else if (name === 'xf' && inCells) {
        if (meanings.length >= 70_000) throw tooMuch('cell styles', 70_000, { in: path });
        const id = Number(attribute('numFmtId') ?? 0);
        meanings.push(meaningOf(id, codes.get(id)));
      }
    },
    close(name) {
      if (name === 'cellXfs') inCells = false;
    },
  });
  return meanings;
}

/** Column from 1 of a reference such as 'AB12'; 0 when it is none. @param {string} reference */
function columnOf(reference) {
  let column = 0;
  for (let i = 0; i < reference.length && i < 8; i++) {
    const c = reference.charCodeAt(i) & ~32;
    if (c < 65 || c > 90) return column;
    column = column * 26 + c - 64;
  }
  return column;
}

/**
 * @typedef {{ strings: readonly string[], meanings: readonly Meaning[], from1904: boolean }} Book
 * @param {Zip} zip @param {string} path @param {string} sheet @param {Book} book @param {Limits} limits
 * @param {import('./gather.mjs').Gather} out
 */
async function readSheet(zip, path, sheet, book, limits, out) {
  const collect = textCollector(limits, sheet);
  let rowNumber = 0;
  /** @type {string[]} */
  let cells = [];
  let column = 0;
  let type = 'n';
  let style = 0;
  let formula = false;
  let inValue = false;
  let inCell = false;

  const cellText = () => {
    const raw = collect.text();
    switch (type) {
      case 's': {
        const text = raw === '' ? '' : book.strings[Number(raw)];
        if (text === undefined)
          throw new Refusal('FW-101', {
            at: { in: sheet, row: rowNumber, field: columnLetters(column) },
            found: 'a text that the workbook does not hold',
          });
        return text;
      }
      case 'b':
        return raw === '1' ? 'TRUE' : raw === '0' ? 'FALSE' : raw;
      case 'd':
        return raw.replace(/T00:00(:00(\.0+)?)?Z?$/, '');
      case 'n':
        return numberText(raw, book.meanings[style] ?? 'number', book.from1904);
      default:
        return unescaped(raw);
    }
  };
  const noteFormula = (/** @type {string} */ text) => {
    const at = { in: sheet, row: rowNumber, field: columnLetters(column) };
    if (text === '' || type === 'e') out.note('FW-106', { at, expected: 'a plain value' });
    else
      out.note('FW-106', {
        at,
        cause: 'The cell holds a formula; the value it last showed was taken.',
        found: text.slice(0, 80),
        expected: 'a plain value',
      });
  };

  out.sheet(sheet);
  await walkXml(zip.read(path), sheet, {
    open(name, attribute) {
      switch (name) {
        case 'row': {
          const given = attribute('r');
          const next = given === undefined ? rowNumber + 1 : Number(given);
          if (!Number.isInteger(next) || next <= rowNumber || next > 1_048_576)
            throw new Refusal('FW-101', {
              at: { in: sheet, row: rowNumber },
              found: `row number ${String(given).slice(0, 20)}`,
            });
          rowNumber = next;
          cells = [];
          column = 0;
          break;
        }
        case 'c': {
          const next = columnOf(attribute('r') ?? '') || column + 1;
          const at = { in: sheet, row: rowNumber };
          if (next > limits.columns) throw tooMuch('columns', limits.columns, at);
          if (next <= column) throw new Refusal('FW-101', { at, found: `two cells in column ${columnLetters(next)}` });
          column = next;
          type = attribute('t') ?? 'n';
          style = Number(attribute('s') ?? 0);
          formula = false;
          inCell = true;
          collect.start();
          break;
        }
        case 'f':
          formula = true;
          break;
        case 'v':
          inValue = true;
          break;
        default:
          if (inCell) collect.open(name);
      }
    },
    text(text) {
      if (inValue) collect.append(text);
      else if (inCell) collect.add(text);
    },
    close(name) {
      if (name === 'v') inValue = false;
      else if (name === 'c') {
        const text = cellText();
        if (formula) noteFormula(text);
        while (cells.length < column - 1) cells.push('');
        cells.push(formula && type === 'e' ? '' : text);
        inCell = false;
      } else if (name === 'row') out.row(rowNumber, cells);
      else if (inCell) collect.close(name);
    },
  });
}

/**
 * @param {Zip} zip @param {string} file @param {Limits} limits
 * @param {import('./gather.mjs').Gather} out
 */
export async function readWorkbook(zip, file, limits, out) {
  const root = (await relationsOf(zip, '')).find((relation) => relation.type === 'officeDocument')?.path;
  if (root === undefined || !zip.has(root))
    throw new Refusal('FW-101', { at: { in: file }, expected: 'an archive that holds a workbook' });
  /** @type {{ name: string, relation: string }[]} */
  const sheets = [];
  let from1904 = false;
  await walkXml(zip.read(root), root, {
    open(name, attribute) {
      if (name === 'workbookPr') from1904 = ['1', 'true'].includes(attribute('date1904') ?? '');
      if (name !== 'sheet') return;
      if (sheets.length >= limits.sheets) throw tooMuch('sheets', limits.sheets, { in: file });
      sheets.push({
        name: (attribute('name') ?? '').slice(0, 100),
        relation: attribute('r:id') ?? attribute('id') ?? '',
      });
    },
  });
  const relations = await relationsOf(zip, root);
  /** @param {string} type */
  const partOf = (type) => relations.find((relation) => relation.type === type && zip.has(relation.path))?.path;
  const stringsPath = partOf('sharedStrings');
  const stylesPath = partOf('styles');
  const book = {
    strings: stringsPath === undefined ? [] : await sharedStrings(zip, stringsPath, limits),
    meanings: stylesPath === undefined ? [] : await styleMeanings(zip, stylesPath),
    from1904,
  };
  for (const { name, relation } of sheets) {
    const part = relations.find((r) => r.id === relation);
    if (part?.type === 'chartsheet') continue;
    if (!part || !zip.has(part.path))
      throw new Refusal('FW-101', { at: { in: name }, found: 'a sheet without its content' });
    await readSheet(zip, part.path, name, book, limits, out);
  }
}
