// @ts-check
import sax from 'sax';
import { textDecoder } from './decode.mjs';
import { Refusal } from './refusal.mjs';

/**
 * Walks XML as it streams. Strict, without document types (so no entities but the five of XML), with bounded depth and attributes.
 * Names come without their namespace prefix; attributes are looked up through `attribute`, never as object members.
 * @typedef {{
 *   open(name: string, attribute: (name: string) => string | undefined): void,
 *   text?(text: string): void,
 *   close?(name: string): void,
 * }} Walker
 */

const MOST_DEPTH = 64;
const MOST_ATTRIBUTES = 64;

/** @param {string} name */
const bare = (name) => {
  const colon = name.indexOf(':');
  return colon === -1 ? name : name.slice(colon + 1);
};

/** @param {AsyncIterable<Uint8Array>} chunks @param {string} file @param {Walker} walker */
export async function walkXml(chunks, file, walker) {
  const decoder = textDecoder(file);
  const parser = sax.parser(true, { trim: false, normalize: false, position: false });
  let depth = 0;
  let attributes = 0;
  /** @param {string} found */
  const refuse = (found) =>
    new Refusal('FW-101', { at: { in: file }, found, expected: 'well-formed XML without a document type' });
  parser.onerror = (error) => {
    throw refuse(error.message.split('\n')[0] ?? 'broken XML');
  };
  parser.ondoctype = () => {
    throw refuse('a document type declaration');
  };
  parser.onprocessinginstruction = (instruction) => {
    const named = /encoding\s*=\s*["']([^"']*)["']/i.exec(instruction.body)?.[1];
    if (instruction.name === 'xml' && named !== undefined && !/^utf-?(8|16)$/i.test(named))
      throw new Refusal('FW-109', { at: { in: file }, found: named.slice(0, 40), expected: 'UTF-8' });
  };
  parser.onopentagstart = () => {
    attributes = 0;
    if (++depth > MOST_DEPTH) throw refuse('elements nested too deep');
  };
  parser.onattribute = () => {
    if (++attributes > MOST_ATTRIBUTES) throw refuse('an element with too many attributes');
  };
  parser.onopentag = (tag) => {
    const given = tag.attributes;
    walker.open(bare(tag.name), (name) => {
      const value = Object.hasOwn(given, name) ? given[name] : undefined;
      return typeof value === 'string' ? value : undefined;
    });
  };
  parser.onclosetag = (name) => {
    depth--;
    walker.close?.(bare(name));
  };
  if (walker.text) {
    const text = walker.text.bind(walker);
    parser.ontext = text;
    parser.oncdata = text;
  }
  /** @param {string} text */
  const feed = (text) => {
    if (/<!(DOCTYPE|ENTITY)/i.test(text)) throw refuse('a document type declaration');
    parser.write(text);
  };
  try {
    for await (const chunk of chunks) feed(decoder.write(chunk));
    feed(decoder.end());
    parser.close();
  } catch (error) {
    if (error instanceof Refusal) throw error;
    throw refuse(error instanceof Error ? error.message : String(error));
  }
}
