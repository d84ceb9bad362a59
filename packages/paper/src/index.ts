export { accessPaper } from './access-statement.ts';
export { accountPaper } from './account-statement.ts';
export { USUAL_CAUTIONS } from './cautions.ts';
export { makePdf } from './make-pdf.ts';
export type { Cell, Column, PageSize, Paper, Part, Table } from './paper.ts';
export { type ProvingRecord, provingPaper } from './proving.ts';
export { type WorksheetRecord, worksheetPaper } from './worksheet.ts';
