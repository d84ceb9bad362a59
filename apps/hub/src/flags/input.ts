import type { FlagFill, LooseFlow } from '@fillwright/core/flags';
import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { volumeOfPulses } from '@fillwright/core/units';
import type { Tx } from '../store/database.ts';

type FillRow = Omit<FlagFill, 'odometer' | 'hours'> & { readonly answers: Readonly<Record<string, string>> };

/** The ledger's fills as flags look at them, with the readings that were keyed. */
export async function fillsForFlags(
  tx: Tx,
  fleet: string,
  content: Fleet,
  from: number,
  to: number,
): Promise<FlagFill[]> {
  const rows = await tx.rows<FillRow>(
    `select id, site, hose, product, driver, vehicle, started_at as "from", coalesce(ended_at, started_at) as "to",
            volume, limit_volume as "limit", answers
     from fill where fleet = $1 and started_at >= $2 and started_at < $3 and state <> 'open' and volume > 0 and proving is null`,
    [fleet, from, to],
  );
  return rows.map(({ answers, ...fill }) => ({ ...fill, ...readingsIn(answers, content) }));
}

function readingsIn(answers: FillRow['answers'], content: Fleet): Pick<FlagFill, 'odometer' | 'hours'> {
  const found: { odometer?: number; hours?: number } = {};
  for (const [question, answer] of Object.entries(answers)) {
    const kind = content.questions.get(question)?.kind;
    if ((kind === 'odometer' || kind === 'hours') && /^\d{1,15}$/.test(answer.trim())) found[kind] = Number(answer);
  }
  return found;
}

interface AlarmRow {
  readonly id: string;
  readonly site: string;
  readonly at: number;
  readonly hose: string;
  readonly pulses: number;
}

/** A leak tells of itself every second: what follows within the hour at the same hose is the same flow. */
const APART_MS = 3_600_000;

/** Product that meters counted with nobody let in, from the alarms of the sites' journals. */
export async function looseForFlags(
  tx: Tx,
  fleet: string,
  content: Fleet,
  from: number,
  to: number,
): Promise<LooseFlow[]> {
  const rows = await tx.rows<AlarmRow>(
    `select site || '.' || epoch || '.' || seq as id, site, at, fact->>'hose' as hose, coalesce((fact->>'pulses')::bigint, 0) as pulses
     from (select *, text::jsonb as fact from entry
           where fleet = $1 and kind = 'alarm' and at >= $2 and at < $3 and aside is null) as e
     where fact->>'alarm' in ('strayPulses', 'pulsesAfterClose') and fact->>'hose' is not null order by at, seq`,
    [fleet, from, to],
  );
  const unit = unitOf(content.settings);
  const flows: { id: string; site: string; hose: string; at: number; volume: number; last: number }[] = [];
  const open = new Map<string, (typeof flows)[number]>();
  for (const { pulses, ...row } of rows) {
    const perMeasure = content.hoses.get(row.hose)?.pulses;
    const volume = perMeasure && pulses > 0 ? volumeOfPulses(pulses, perMeasure, unit) : 0;
    const same = open.get(row.hose);
    if (same && row.at - same.last < APART_MS) {
      same.volume += volume;
      same.last = row.at;
      continue;
    }
    const flow = { ...row, volume, last: row.at };
    open.set(row.hose, flow);
    flows.push(flow);
  }
  return flows.map(({ last: _, ...flow }) => flow);
}
