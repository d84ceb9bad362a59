import { expect, test } from 'vitest';
import { readIntakeHere } from '../src/index.ts';
import { type BookParts, oneSheet, zipOf } from './archives.ts';

async function read(rows: string, more: Partial<BookParts> = {}) {
  const result = await readIntakeHere([{ name: 'a.xlsx', bytes: oneSheet(rows, more) }]);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return { cells: result.value.sheets[0]?.rows.map((r) => [r.number, ...r.cells]), problems: result.value.problems };
}

test('every kind of cell becomes the text that a person sees', async () => {
  const styles =
    '<numFmts><numFmt numFmtId="164" formatCode="dd/mm/yyyy"/><numFmt numFmtId="165" formatCode="[Red]0.0&quot;day&quot;"/></numFmts>' +
    '<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="9"/><xf numFmtId="164"/><xf numFmtId="20"/><xf numFmtId="22"/><xf numFmtId="165"/></cellXfs>';
  const number = (style: number, value: string) => `<c s="${style}"><v>${value}</v></c>`;
  const { cells, problems } = await read(
    `<row r="2"><c r="B2" t="s"><v>0</v></c><c r="D2" t="s"><v>1</v></c></row>` +
      `<row>${number(0, '1.1000000000000001')}${number(1, '45000')}${number(2, '0.95')}${number(3, '25569')}${number(4, '0.25')}${number(5, '45000.5')}${number(6, '1.5')}</row>` +
      `<row><c t="b"><v>1</v></c><c t="str"><v>_x0041_</v></c><c t="d"><v>2026-01-31T00:00:00</v></c><c t="e"><v>#N/A</v></c><c><v>12345678901234567890</v></c><c><v>1E+3</v></c></row>`,
    { styles, strings: ['<r><t>two </t></r><r><t>runs</t></r>', '<t>漢</t><rPh sb="0" eb="1"><t>かん</t></rPh>'] },
  );
  expect(problems).toEqual([]);
  expect(cells).toEqual([
    [2, '', 'two runs', '', '漢'],
    // 45000 is 2023-03-15 and 25569 is 1970-01-01 in the 1900 date system (ECMA-376 part 1, 18.17.4.1); counted by hand.
    [3, '1.1', '2023-03-15', '95%', '1970-01-01', '06:00', '2023-03-15 12:00', '1.5'],
    [4, 'TRUE', 'A', '2026-01-31', '#N/A', '12345678901234567890', '1000'],
  ]);
});

test('dates count from 1904 where the workbook says so', async () => {
  const { cells } = await read('<row><c s="0"><v>43538</v></c></row>', {
    workbookProperties: '<workbookPr date1904="1"/>',
    styles: '<cellXfs><xf numFmtId="14"/></cellXfs>',
  });
  // The two systems are 1462 days apart (ECMA-376 part 1, 18.17.4.1): 45000 - 1462.
  expect(cells).toEqual([[1, '2023-03-15']]);
});

test('a formula is named with its place; its last value is taken when it has one', async () => {
  const { cells, problems } = await read(
    '<row r="3"><c r="B3"><f>1+1</f><v>2</v></c><c r="C3"><f>A1</f></c><c r="D3" t="e"><f>1/0</f><v>#DIV/0!</v></c><c r="E3" t="str"><f>"x"</f><v>x</v></c></row>',
  );
  expect(cells).toEqual([[3, '', '2', '', '', 'x']]);
  expect(problems.map((p) => [p.code, p.at?.in, p.at?.row, p.at?.field, p.found])).toEqual([
    ['FW-106', 'drivers', 3, 'B', '2'],
    ['FW-106', 'drivers', 3, 'C', undefined],
    ['FW-106', 'drivers', 3, 'D', undefined],
    ['FW-106', 'drivers', 3, 'E', 'x'],
  ]);
});

test('a zip of tables and a folder of tables give the same sheets', async () => {
  const files = [
    { name: 'drivers.csv', data: Buffer.from('name;number\r\n"Ann; the first";7\r\n\r\nBo;8') },
    { name: 'vehicles.csv', data: Buffer.from('name\tplate\nV1\tAB 12') },
  ];
  const zip = zipOf([
    ...files.map((f) => ({ name: `folder/${f.name}`, data: f.data })),
    { name: '__MACOSX/._drivers.csv', data: Buffer.from([0, 1]) },
    { name: 'folder/picture.png', data: Buffer.from('x') },
  ]);
  const zipped = await readIntakeHere([{ name: 'all.zip', bytes: zip }]);
  const loose = await readIntakeHere(files.map((f) => ({ name: f.name, bytes: f.data })));
  expect(loose.ok && loose.value.sheets).toEqual([
    {
      name: 'drivers',
      rows: [
        { number: 1, cells: ['name', 'number'] },
        { number: 2, cells: ['Ann; the first', '7'] },
        { number: 4, cells: ['Bo', '8'] },
      ],
    },
    {
      name: 'vehicles',
      rows: [
        { number: 1, cells: ['name', 'plate'] },
        { number: 2, cells: ['V1', 'AB 12'] },
      ],
    },
  ]);
  expect(zipped.ok && zipped.value.sheets).toEqual(loose.ok && loose.value.sheets);
  expect(zipped.ok && zipped.value.problems.map((p) => [p.code, p.at?.in])).toEqual([['FW-103', 'folder/picture.png']]);
});
