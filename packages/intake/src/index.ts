export type { Progress } from './by-rows.ts';
export { hasOurSheets } from './headings.ts';
export {
  type InputFile,
  LIMITS,
  type Limits,
  type RawIntake,
  type RawRow,
  type RawSheet,
  RESOURCE_LIMITS,
  type ReadOptions,
  readIntake,
  readIntakeFiles,
  readIntakeHere,
  TIME_LIMIT_MS,
} from './read-intake.ts';
export { applyMapping, applyMappingByRows } from './roster/apply.ts';
export { guessMapping } from './roster/guess.ts';
export { mappingSchema, type RosterMapping, type RosterTable } from './roster/mapping.ts';
export { type NamedText, toCsvFiles } from './to-csv.ts';
export { type Count, type Imported, toFleet, toFleetByRows } from './to-fleet.ts';
export { template, toWorkbook } from './to-workbook.ts';
