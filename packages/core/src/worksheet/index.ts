export { type Presentation, type Presentations, presentationsFor, UNKNOWN } from './presentations.ts';
export { type Fact, type ProofFact, type Recognised, recognise } from './recognise.ts';
export {
  cardWords,
  PARTS,
  pressesNeeded,
  type Seen,
  type Step,
  type StepPart,
  type Worksheet,
  worksheetOf,
} from './worksheet.ts';
