/** Letters of a column as spreadsheets show it; `column` from 1. */
export function columnLetters(column: number): string;
