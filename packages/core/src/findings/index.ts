export type { Check, Found, RecordRef, Severity } from './check.ts';
export { CHECKS } from './checks/index.ts';
export { contextOf } from './context.ts';
export { type Finding, type FindingsOptions, findings } from './findings.ts';
export { findingsReference } from './reference.ts';
