export { RULES } from './rules.ts';
export type * from './types.ts';
