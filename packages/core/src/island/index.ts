export * from './entries.ts';
export type * from './types.ts';
