import { expect, test } from 'vitest';
import { LIMITS, RESOURCE_LIMITS, readIntake, readIntakeHere, TIME_LIMIT_MS } from '../src/index.ts';
import { oneSheet, workbookOf, zipOf } from './archives.ts';

// The time limit is generous here, because a busy machine must not turn one refusal into another.
const PATIENT = { timeLimitMs: 50_000 };

async function codeOf(bytes: Uint8Array | string, name: string): Promise<string> {
  const data = typeof bytes === 'string' ? Buffer.from(bytes) : bytes;
  const result = await readIntakeHere([{ name, bytes: data }]);
  return result.ok ? 'read' : result.error.code;
}

const inline = (text: string, reference = 'A1') => `<c r="${reference}" t="inlineStr"><is><t>${text}</t></is></c>`;

test('limits are small enough for 150 MB and 5 s', () => {
  expect(RESOURCE_LIMITS.maxOldGenerationSizeMb + RESOURCE_LIMITS.maxYoungGenerationSizeMb).toBeLessThanOrEqual(120);
  expect(TIME_LIMIT_MS).toBeLessThanOrEqual(5000);
  expect(LIMITS.fileBytes).toBeLessThanOrEqual(20_000_000);
});

test('archives that unpack to too much are refused by what they say and by what they do', async () => {
  const zeros = Buffer.alloc(LIMITS.unpackedBytes + 1);
  expect(await codeOf(zipOf([{ name: 'drivers.csv', data: zeros }]), 'a.zip')).toBe('FW-102');
  const lying = zipOf([{ name: 'drivers.csv', data: zeros, declaredSize: 10 }]);
  expect(['FW-101', 'FW-102']).toContain(await codeOf(lying, 'a.zip'));
});

test('archives of too many or repeated entries are refused', async () => {
  const many = Array.from({ length: LIMITS.entries + 1 }, (_, i) => ({ name: `${i}.csv`, data: Buffer.from('a') }));
  expect(await codeOf(zipOf(many), 'a.zip')).toBe('FW-102');
  const twice = [1, 2].map(() => ({ name: 'a.csv', data: Buffer.from('a') }));
  expect(await codeOf(zipOf(twice), 'a.zip')).toBe('FW-101');
  expect(await codeOf(zipOf([{ name: '../a.csv', data: Buffer.from('a') }]), 'a.zip')).toBe('FW-101');
});

test('a million columns, rows that go back, and cells out of order are refused', async () => {
  expect(await codeOf(','.repeat(1_000_000), 'a.csv')).toBe('FW-102');
  expect(await codeOf(oneSheet(`<row r="1">${inline('a', 'AAAA1')}</row>`), 'a.xlsx')).toBe('FW-102');
  expect(await codeOf(oneSheet(`<row r="1">${'<c t="n"><v>1</v></c>'.repeat(1_000_000)}</row>`), 'a.xlsx')).toBe(
    'FW-102',
  );
  expect(await codeOf(oneSheet('<row r="2"/><row r="1"/>'), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(oneSheet('<row r="99999999"/>'), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(oneSheet(`<row r="1">${inline('a', 'B1')}${inline('b', 'B1')}</row>`), 'a.xlsx')).toBe('FW-101');
});

test('one long text that many cells repeat is refused by what it comes to', async () => {
  const long = 'x'.repeat(30_000);
  const rows = Array.from(
    { length: 1000 },
    (_, i) => `<row r="${i + 1}"><c r="A${i + 1}" t="s"><v>0</v></c></row>`,
  ).join('');
  expect(await codeOf(oneSheet(rows, { strings: [`<t>${long}</t>`] }), 'a.xlsx')).toBe('FW-102');
  expect(await codeOf(oneSheet(`<row r="1">${inline('x'.repeat(200_000))}</row>`), 'a.xlsx')).toBe('FW-102');
});

test('document types, entities, deep nesting and attribute floods are refused', async () => {
  const row = `<row r="1">${inline('a')}</row>`;
  const entity = '<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>';
  expect(await codeOf(oneSheet(row, { prologue: entity }), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(oneSheet(row, { prologue: '<!DOCTYPE w SYSTEM "file:///etc/hostname">' }), 'a.xlsx')).toBe(
    'FW-101',
  );
  expect(await codeOf(oneSheet(`<row r="1">${inline('&constructor;')}</row>`), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(oneSheet('<a>'.repeat(100_000)), 'a.xlsx')).toBe('FW-101');
  const attributes = Array.from({ length: 1000 }, (_, i) => `a${i}="1"`).join(' ');
  expect(await codeOf(oneSheet(`<row ${attributes}/>`), 'a.xlsx')).toBe('FW-101');
});

test('truncated and mislabelled files are refused', async () => {
  const book = oneSheet(`<row r="1">${inline('a')}</row>`);
  for (const length of [0, 1, 4, 100, book.length >> 1, book.length - 1])
    expect(await codeOf(book.subarray(0, length), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf('a,b\n1,2', 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(book, 'a.csv')).toBe('FW-101');
  expect(await codeOf(book, 'a.pdf')).toBe('FW-101');
  expect(await codeOf(Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 1, 2]), 'a.xlsx')).toBe('FW-101');
  expect(await codeOf(oneSheet('<row r="1"><c r="A1" t="s"><v>7</v></c></row>'), 'a.xlsx')).toBe('FW-101');
  const damaged = Buffer.from(zipOf([{ name: 'a.csv', data: Buffer.from('name\n'.repeat(1000)) }]));
  damaged.fill(0xff, 40, 60);
  expect(await codeOf(damaged, 'a.zip')).toBe('FW-101');
});

test('a million quotation marks end in a refusal that names the row', async () => {
  const result = await readIntake(Buffer.from(`name\n${'"'.repeat(1_000_001)}`), 'a.csv', PATIENT);
  expect(result.ok ? '' : result.error).toMatchObject({ code: 'FW-102', at: { in: 'a', row: 2 } });
  expect(await codeOf('name\n"open', 'a.csv')).toBe('FW-101');
  expect(await codeOf('name\na"b', 'a.csv')).toBe('FW-101');
});

test('encodings that can be told are read, others refused', async () => {
  const text = 'name\nZoë 李\n';
  const utf16 = Buffer.from(`\ufeff${text}`, 'utf16le');
  const accepted = [Buffer.from(text), Buffer.from(`\ufeff${text}`), utf16, Buffer.from(utf16).swap16()];
  for (const bytes of accepted) {
    const result = await readIntakeHere([{ name: 'a.csv', bytes }]);
    expect(result.ok && result.value.sheets[0]?.rows.map((r) => r.cells)).toEqual([['name'], ['Zoë 李']]);
  }
  expect(await codeOf(Buffer.from(text, 'latin1'), 'a.csv')).toBe('FW-109');
  expect(await codeOf(Buffer.from(text, 'utf16le'), 'a.csv')).toBe('FW-109');
  expect(await codeOf(Buffer.from(`\ufeff${text}x`, 'utf16le').subarray(0, -1), 'a.csv')).toBe('FW-109');
});

test('names of object members are only names', async () => {
  const names = ['__proto__', 'constructor', 'toString'];
  const book = workbookOf({
    sheets: names.map((name) => ({
      name,
      rows: `<row r="1">${inline('__proto__')}${inline('constructor', 'B1')}</row>`,
    })),
  });
  const result = await readIntake(book, 'a.xlsx', PATIENT);
  expect(result.ok && result.value.sheets.map((s) => [s.name, s.rows[0]?.cells])).toEqual(
    names.map((name) => [name, ['__proto__', 'constructor']]),
  );
  const again = workbookOf({ sheets: ['Drivers', 'drivers'].map((name) => ({ name, rows: '' })) });
  expect(await codeOf(again, 'a.xlsx')).toBe('FW-108');
});

test('the thread refuses as this one does', async () => {
  const zeros = zipOf([{ name: 'drivers.csv', data: Buffer.alloc(LIMITS.unpackedBytes + 1) }]);
  const bomb = await readIntake(zeros, 'a.zip', PATIENT);
  expect(bomb.ok ? 'read' : bomb.error.code).toBe('FW-102');
  const fine = await readIntake(Buffer.from('name\nAnn'), 'drivers.csv', PATIENT);
  expect(fine.ok && fine.value.sheets[0]?.rows.length).toBe(2);
});

test('the thread is ended at its memory and its time', async () => {
  // 400,000 different texts need far more than this heap, which is ample for starting.
  const strings = Array.from({ length: 400_000 }, (_, i) => `<t>a text that is number ${i}</t>`);
  const small = { maxOldGenerationSizeMb: 16, maxYoungGenerationSizeMb: 2 };
  const starved = await readIntake(oneSheet('', { strings }), 'a.xlsx', { ...PATIENT, memory: small });
  expect(starved.ok ? 'read' : starved.error).toMatchObject({ code: 'FW-102', found: expect.stringMatching(/memory/) });
  const hurried = await readIntake(Buffer.from('name\nAnn'), 'a.csv', { timeLimitMs: 1 });
  expect(hurried.ok ? 'read' : hurried.error.code).toBe('FW-110');
});

test('caps hold for the whole import', async () => {
  const rows = Buffer.from('a\nb\nc\n');
  const code = async (limits: object) => {
    const result = await readIntakeHere([{ name: 'a.csv', bytes: rows }], limits);
    return result.ok ? 'read' : result.error.code;
  };
  expect(await code({})).toBe('read');
  for (const limits of [{ rows: 2 }, { cells: 2 }, { characters: 2 }, { fileBytes: 5 }, { sheets: 0 }, { entries: 0 }])
    expect(await code(limits)).toBe('FW-102');
});

test('a reading that is stopped ends, before it began or in the midst', async () => {
  const gone = new AbortController();
  const long = Buffer.from('a,b\n'.repeat(100_000));
  const reading = readIntake(long, 'a.csv', { ...PATIENT, signal: gone.signal });
  gone.abort();
  expect(await reading).toMatchObject({ ok: false, error: { code: 'FW-322' } });
  expect(await readIntake(long, 'a.csv', { ...PATIENT, signal: gone.signal })).toMatchObject({
    ok: false,
    error: { code: 'FW-322' },
  });
});
