// @ts-check
import { readCsv } from './csv.mjs';
import { gather } from './gather.mjs';
import { Refusal, tooMuch } from './refusal.mjs';
import { isWorkbook, readWorkbook } from './workbook.mjs';
import { openZip } from './zip.mjs';

/** @typedef {import('./read-bytes.mjs').Limits} Limits */
/** @typedef {import('./read-bytes.mjs').InputFile} InputFile */

/** @param {string} path */
const baseName = (path) => path.slice(path.replaceAll('\\', '/').lastIndexOf('/') + 1);
/** @param {string} name */
const extensionOf = (name) => /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase() ?? '';
/** @param {string} name */
const sheetNameOf = (name) => baseName(name).replace(/\.[a-z0-9]+$/i, '');
const TEXT_TABLES = new Set(['csv', 'tsv', 'txt']);
const CHUNK = 65_536;

/** @param {Uint8Array} bytes */
function* chunksOf(bytes) {
  for (let at = 0; at < bytes.length; at += CHUNK) yield bytes.subarray(at, at + CHUNK);
}

/** @param {Uint8Array} bytes @param {...number} start */
const startsWith = (bytes, ...start) => start.every((b, i) => bytes[i] === b);

/** @param {InputFile} file @param {Limits} limits @param {import('./gather.mjs').Gather} out */
async function readFile(file, limits, out) {
  const extension = extensionOf(file.name);
  const at = { in: baseName(file.name) };
  if (startsWith(file.bytes, 0xd0, 0xcf, 0x11, 0xe0))
    throw new Refusal('FW-101', {
      at,
      found: 'an older workbook, or one locked with a password',
      mend: 'Open it, take the password off, save it as .xlsx, and import that.',
    });
  const zipped = startsWith(file.bytes, 0x50, 0x4b);
  if (extension === 'xlsx' || extension === 'zip') {
    if (!zipped) throw new Refusal('FW-101', { at, expected: extension === 'zip' ? 'a zip archive' : 'a workbook' });
    const zip = await openZip(
      Buffer.from(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength),
      at.in,
      limits,
    );
    if (isWorkbook(zip)) return readWorkbook(zip, at.in, limits, out);
    if (extension === 'xlsx') throw new Refusal('FW-101', { at, expected: 'a workbook' });
    for (const name of zip.names) {
      if (name.endsWith('/') || name.startsWith('__MACOSX/') || baseName(name).startsWith('.')) continue;
      if (TEXT_TABLES.has(extensionOf(name)))
        await readCsv(zip.read(name), baseName(name), sheetNameOf(name), limits, out);
      else out.note('FW-103', { at: { in: name.slice(0, 200) }, expected: '.csv files' });
    }
    return;
  }
  if (!TEXT_TABLES.has(extension) || zipped)
    throw new Refusal('FW-101', { at, expected: 'a file named .xlsx, .csv or .zip that is one' });
  await readCsv(chunksOf(file.bytes), at.in, sheetNameOf(file.name), limits, out);
}

/**
 * @param {readonly InputFile[]} files
 * @param {Limits} limits
 * @param {(parcel: import('./read-bytes.mjs').Parcel) => void} emit
 */
export async function readBytes(files, limits, emit) {
  try {
    if (files.length > limits.entries) throw tooMuch('files', limits.entries);
    if (files.reduce((sum, file) => sum + file.bytes.length, 0) > limits.fileBytes)
      throw tooMuch('bytes', limits.fileBytes);
    const out = gather(limits, emit);
    for (const file of files) await readFile(file, limits, out);
    out.end();
    emit({ kind: 'done' });
  } catch (error) {
    if (error instanceof Refusal) emit({ kind: 'refused', code: error.code, detail: error.detail });
    else
      emit({
        kind: 'refused',
        code: 'FW-101',
        detail: { found: error instanceof Error ? error.message.slice(0, 200) : String(error) },
      });
  }
}
