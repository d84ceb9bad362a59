import {
  BLOCKS,
  type Block,
  bootState,
  type EntryOf,
  fillIdOf,
  type HoseState,
  type IslandState,
  KEPT_RECEIPTS,
  type ReceiptFacts,
  recover,
  type YardPlan,
} from '@fillwright/core/island';
import type { SiteRecord } from '../facts/record.ts';

/** Ends of the fills that are open in the record though no hose runs them: the last durable count of each stands. */
export function interrupted(record: SiteRecord, site: string, at: number): readonly EntryOf<'ended'>[] {
  const { open } = record.fills.kept;
  if (open.length === 0) return [];
  return recover(site, record.since(Math.min(...open.map((o) => o.seq))), at).interrupted;
}

const DAY_MS = 86_400_000;
/** Looking back ends here, however much is kept. */
const MOST_LOOKED_AT = 200_000;

/** What the journal tells of the time before: receipts by terminal, newest first. */
function receiptsBefore(record: SiteRecord, plan: YardPlan, at: number): Record<string, ReceiptFacts[]> {
  const receipts: Record<string, ReceiptFacts[]> = {};
  const ends = new Map<string, EntryOf<'ended'>>();
  const oldest = at - DAY_MS * Math.max(0, ...Object.values(plan.terminals).map((t) => t.receiptDays));
  let looked = 0;
  record.backwards((entry, seq) => {
    if (entry.kind === 'ended') {
      if (entry.ul > 0) ends.set(entry.fill, entry);
    } else if (entry.kind === 'authorised') {
      const end = ends.get(fillIdOf(plan.site, { epoch: record.journal.epoch, seq }));
      const list = receipts[entry.terminal] ?? [];
      if (end && list.length < KEPT_RECEIPTS) receipts[entry.terminal] = [...list, receiptOf(entry, end, plan)];
    }
    return entry.at >= oldest && ++looked < MOST_LOOKED_AT;
  });
  return receipts;
}

function receiptOf(entry: EntryOf<'authorised'>, end: EntryOf<'ended'>, plan: YardPlan): ReceiptFacts {
  const hose = plan.hoses[entry.hose];
  return {
    fill: end.fill,
    at: end.at,
    hose: hose?.number ?? 0,
    productName: hose?.productName ?? entry.product,
    ul: end.ul,
    unit: entry.unit,
    price: entry.price,
    amount: end.amount,
    currency: plan.currency,
    ...(entry.driver === undefined ? {} : { driver: entry.driver }),
    ...(entry.vehicle === undefined ? {} : { vehicle: entry.vehicle }),
    answers: entry.answers,
    reason: end.reason,
  };
}

/** Blocks that only a person lifts outlive the box's power: by hose. */
export type KeptBlocks = Readonly<Record<string, readonly Block[]>>;

/** Also what somebody took out of service, though the plan has it in service. */
export function blocksToKeep(state: IslandState): { hoses: KeptBlocks; out: string[] } {
  const hoses: Record<string, readonly Block[]> = {};
  const out: string[] = [];
  for (const [id, hose] of Object.entries(state.hoses)) {
    const blocks = hose.blocks.filter((b) => BLOCKS[b].lifted === 'person');
    if (blocks.length > 0) hoses[id] = blocks;
    if (hose.blocks.includes('service') && state.plan.hoses[id]?.active) out.push(id);
  }
  return { hoses, out };
}

/** The state in which the machine begins, with all that was durable. */
export function recoveredState(
  record: SiteRecord,
  plan: YardPlan,
  at: number,
  blocks: KeptBlocks,
  out: readonly string[],
): IslandState {
  const receipts = receiptsBefore(record, plan, at);
  const { counts, lags } = record.fills.kept;
  const state = bootState(plan, { counts, lags });
  const hoses: Record<string, HoseState> = {};
  for (const [id, hose] of Object.entries(state.hoses)) {
    const service: Block[] = out.includes(id) ? ['service'] : [];
    hoses[id] = { ...hose, blocks: [...new Set([...hose.blocks, ...service, ...(blocks[id] ?? [])])] };
  }
  const sessions = Object.fromEntries(
    Object.entries(state.sessions).map(([id, s]) => [id, { ...s, receipts: receipts[id] ?? [] }]),
  );
  return { ...state, hoses, sessions };
}
