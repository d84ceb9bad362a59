import { explain, type Line, RULES, type RuleCode, type Step, type Verdict } from '@fillwright/core/decide';
import { type Fleet, rowsOf, TABLE_NAMES, type TableName } from '@fillwright/core/fleet';
import { nameOf } from '../data/where.ts';
import { volumeText } from './amounts.ts';

/** A decision as a site put it on record. */
export interface Recorded {
  readonly approved: boolean;
  readonly by: string;
  readonly limit: number | null;
  readonly lines: readonly Line[];
  /** What a help desk would do; empty where the site refused for a reason of its own. */
  readonly next: string;
  /** Ids of the credentials that were presented, or numbers that the roster did not have. */
  readonly credentials: readonly string[];
}

type Loose = Readonly<Record<string, unknown>>;
const isObject = (value: unknown): value is Loose => typeof value === 'object' && value !== null;
const VERDICTS: readonly unknown[] = ['pass', 'refuse', 'limit', 'ask', 'notLookedAt'];
const isRule = (rule: unknown): rule is RuleCode => typeof rule === 'string' && Object.hasOwn(RULES, rule);

function stepOf(value: unknown): Step | undefined {
  if (!isObject(value) || !isRule(value.rule) || !VERDICTS.includes(value.says)) return undefined;
  const on = isObject(value.on) ? { table: String(value.on.table), id: String(value.on.id) } : undefined;
  return {
    rule: value.rule,
    says: value.says as Verdict,
    ...(on ? { on } : {}),
    ...(typeof value.limit === 'number' ? { limit: value.limit } : {}),
    ...(isObject(value.facts) ? { facts: value.facts as NonNullable<Step['facts']> } : {}),
  };
}

/** Reads a decision from a record, whether it carries the figures for full sentences or only what each rule said; undefined when it is none. */
export function recordedOf(value: unknown, fleet: Fleet): Recorded | undefined {
  if (!isObject(value) || !Array.isArray(value.steps)) return undefined;
  const steps = value.steps.flatMap((s) => stepOf(s) ?? []);
  const by = isObject(value.by) ? String(value.by.rule) : String(value.by ?? value.reason ?? '');
  const limit = value.limit ?? value.limitUl;
  const refusing = steps.findLast((s) => s.says === 'refuse' || s.says === 'ask');
  const approved = typeof value.approved === 'boolean' ? value.approved : typeof limit === 'number' && !refusing;
  const deciding = approved ? steps.find((s) => s.says === 'limit' && s.rule === by) : refusing;
  return {
    approved,
    by,
    limit: approved && typeof limit === 'number' ? limit : null,
    lines: steps.map((step) => lineOf(step, step === deciding, fleet)),
    next: isRule(by) ? RULES[by].next : '',
    credentials: Array.isArray(value.credentials) ? value.credentials.map(String) : [],
  };
}

function lineOf(step: Step, decides: boolean, fleet: Fleet): Line {
  const { rule, says, on } = step;
  const { title } = RULES[rule];
  if (step.facts) {
    const line = explain({ approved: false, by: step, steps: [step] }, fleet)[0];
    if (line) return { ...line, decides };
  }
  const who = on ? said(fleet, on) : '';
  const limit = says === 'limit' && step.limit !== undefined ? `at most ${volumeText(fleet, step.limit)}` : '';
  return { rule, title, says, text: [who, limit].filter(Boolean).join(': '), ...(on ? { on } : {}), decides };
}

function said(fleet: Fleet, on: { readonly table: string; readonly id: string }): string {
  const table = TABLE_NAMES.find((t) => t === on.table) as TableName | undefined;
  return table && rowsOf(fleet, table).has(on.id) ? nameOf(fleet, table, on.id) : on.id;
}
