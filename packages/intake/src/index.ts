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
