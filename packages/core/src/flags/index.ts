export type { FlagFill, FlagInput, FlagKind, FlagRef, LooseFlow } from './flag.ts';
export { type Flag, flags } from './flags.ts';
export { type Habit, habitOf, oddness } from './habit.ts';
export { FLAG_KINDS } from './kinds/index.ts';
