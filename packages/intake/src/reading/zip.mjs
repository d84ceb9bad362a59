// @ts-check
import yauzl from 'yauzl';
import { Refusal, tooMuch } from './refusal.mjs';

/**
 * A zip's entries under limits: their number and declared sizes are checked before anything is unpacked, and what really comes out is
 * counted over all entries while it streams, because a declared size can lie.
 * @typedef {import('./read-bytes.mjs').Limits} Limits
 * @param {Buffer} bytes @param {string} file @param {Limits} limits
 */
export async function openZip(bytes, file, limits) {
  /** @param {unknown} cause */
  const broken = (cause) =>
    new Refusal('FW-101', {
      at: { in: file },
      found: cause instanceof Error ? cause.message : String(cause),
      expected: 'a whole zip archive',
    });
  /** @type {yauzl.ZipFile} */
  const zip = await new Promise((resolve, reject) =>
    yauzl.fromBuffer(bytes, { lazyEntries: true, validateEntrySizes: true }, (error, opened) =>
      error ? reject(broken(error)) : resolve(opened),
    ),
  );
  if (zip.entryCount > limits.entries) throw tooMuch('files in the archive', limits.entries, { in: file });
  /** @type {Map<string, yauzl.Entry>} */
  const entries = new Map();
  let declared = 0;
  await new Promise((resolve, reject) => {
    zip.on('error', (error) => reject(broken(error)));
    zip.on('end', () => resolve(undefined));
    zip.on('entry', (entry) => {
      declared += entry.uncompressedSize;
      if (entries.has(entry.fileName)) reject(broken(`two entries named ${entry.fileName.slice(0, 80)}`));
      else if (entries.size >= limits.entries) reject(tooMuch('files in the archive', limits.entries, { in: file }));
      else if (declared > limits.unpackedBytes) reject(tooMuch('bytes unpacked', limits.unpackedBytes, { in: file }));
      else {
        entries.set(entry.fileName, entry);
        zip.readEntry();
      }
    });
    zip.readEntry();
  });

  let unpacked = 0;
  return {
    names: [...entries.keys()],
    /** @param {string} name */
    has: (name) => entries.has(name),
    /**
     * @param {string} name
     * @returns {AsyncGenerator<Buffer>}
     */
    async *read(name) {
      const entry = entries.get(name);
      if (!entry) throw broken(`nothing named ${name.slice(0, 80)} inside`);
      /** @type {import('node:stream').Readable} */
      const stream = await new Promise((resolve, reject) =>
        zip.openReadStream(entry, (error, opened) => (error ? reject(broken(error)) : resolve(opened))),
      );
      try {
        for await (const chunk of stream) {
          unpacked += chunk.length;
          if (unpacked > limits.unpackedBytes) throw tooMuch('bytes unpacked', limits.unpackedBytes, { in: file });
          yield chunk;
        }
      } catch (error) {
        throw error instanceof Refusal ? error : broken(error);
      } finally {
        stream.destroy();
      }
    },
  };
}

/** @typedef {Awaited<ReturnType<typeof openZip>>} Zip */
