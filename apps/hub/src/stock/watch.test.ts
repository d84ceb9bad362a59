import { tankLife } from '@fillwright/sim';
import { call, type TankVerdict } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillDraft, given, openOfficeAndDatabase, type TestOffice } from '../testing/office.ts';

const HOUR = 3_600_000;
const ul = (litres: number) => Math.round(litres * 1_000_000);

describe('every tank is judged, whoever looks', () => {
  let office: TestOffice;
  let all: Awaited<ReturnType<typeof openOfficeAndDatabase>>;
  let to = 0;
  const fleet = () => office.me.fleet;

  interface Fill {
    readonly id: string;
    readonly started: number;
    /** null: under way. */
    readonly ended: number | null;
    readonly volume: number;
  }
  const insertFills = (fills: readonly Fill[]) =>
    all.db.as(fleet(), async (tx) => {
      await tx.rows(
        `insert into fill (fleet, id, site, terminal, hose, hose_number, product, driver_name, vehicle_name, revision, started_at, ended_at,
           volume, limit_volume, unit, state, answers, decision, search)
         select $1, f.id, 'north', 'k1', 'h1', 1, 'diesel', '', '', 1, f.started, f.ended, f.volume, 999999999, 'gal',
           case when f.ended is null then 'open' else 'ended' end, '{}', '{}', ''
         from jsonb_to_recordset($2::jsonb) as f (id text, started bigint, ended bigint, volume bigint)`,
        [fleet(), JSON.stringify(fills)],
      );
      await tx.rows(
        `insert into tank_move (fleet, id, tank, kind, volume, at, by, note, fill)
         select $1, f.id, 't1', 'fill', -f.volume, f.ended, '', '', f.id
         from jsonb_to_recordset($2::jsonb) as f (id text, ended bigint, volume bigint) where f.ended is not null`,
        [fleet(), JSON.stringify(fills)],
      );
    });

  let seq = 0;
  interface Reading {
    readonly at: number;
    readonly litres: number;
    readonly levelMm: number | null;
    readonly tempC: number;
  }
  const insertReadings = (readings: readonly Reading[]) =>
    all.db.as(fleet(), (tx) =>
      tx.rows(
        `insert into tank_reading (fleet, site, epoch, seq, tank, at, moment, level_mm, temp_c, volume)
         select $1, 'north', 'e', r.seq, 't1', r.at, 'quiet', r.level, r.temp, r.volume
         from jsonb_to_recordset($2::jsonb) as r (seq bigint, at bigint, level float8, temp float8, volume bigint)`,
        [
          fleet(),
          JSON.stringify(
            readings.map((r) => ({
              ...{ seq: ++seq, at: Math.round(r.at), level: r.levelMm, temp: r.tempC, volume: ul(r.litres) },
            })),
          ),
        ],
      ),
    );
  /** `n` readings half an hour apart from `from` on, all of one volume in litres. */
  const still = (from: number, n: number, litres: number): Reading[] =>
    Array.from({ length: n }, (_, i) => ({ at: from + (i * HOUR) / 2, litres, levelMm: null, tempC: 15 }));

  /** Asked as a desk asks: until none is left to judge. */
  async function verdicts(): Promise<Readonly<Record<string, TankVerdict>>> {
    for (;;) {
      const { left, tanks } = await given(call(office.owner, 'tankVerdicts', {}));
      if (left === 0) return Object.fromEntries(tanks.map((t) => [t.tank, t]));
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }

  beforeAll(async () => {
    all = await openOfficeAndDatabase();
    office = all.office;
    await fillDraft(office);
    const life = tankLife({
      seed: 4,
      from: Date.UTC(2026, 4, 11),
      days: 21,
      leakLitresPerHour: 0,
      drifts: [0],
      fallMm: 0,
    });
    await insertReadings(life.readings.map((r) => ({ ...r, tempC: r.tempC ?? 15 })));
    await insertFills(
      life.fills.map((f) => ({ id: f.id, started: Math.round(f.from), ended: Math.round(f.to), volume: ul(f.litres) })),
    );
    for (const b of life.billed) {
      const body = {
        at: Math.round(b.at),
        gross: ul(b.litres),
        net: null,
        tempC: b.tempC,
        document: b.id,
        compartments: [],
      };
      await given(call(office.owner, 'addDelivery', { params: { tank: 't1' }, body }));
    }
    to = Math.max(...life.readings.map((r) => r.at));
    office.clock.at = Math.max(office.clock.at, to + HOUR);
  }, 180_000);
  afterAll(() => all?.stop());

  it('says of each what its readings show, and that one without readings was not judged', async () => {
    const first = await given(call(office.owner, 'tankVerdicts', {}));
    expect(first.left).toBe(2);
    expect(await verdicts()).toMatchObject({
      t1: { verdict: 'pass', losses: [] },
      t2: { verdict: null, noModel: 'too few readings' },
    });
  });

  it('a fill under way is no loss; one that nobody ever ended is', async () => {
    const last = (await given(call(office.owner, 'tankStock', { params: { tank: 't1' }, query: {} }))).trace.at(-1);
    const [at = 0, volume = 0] = last ?? [];
    const after = volume / 1_000_000 - 600;
    await insertFills([{ id: 'under way', started: at + HOUR, ended: null, volume: 0 }]);
    await insertReadings(still(at + 1.5 * HOUR, 4, after));
    office.clock.at = at + 3 * HOUR;
    expect((await verdicts()).t1).toMatchObject({ verdict: 'pass', losses: [] });

    await insertReadings(still(at + 3.5 * HOUR, 60, after));
    office.clock.at = at + 34 * HOUR;
    const losses = (await verdicts()).t1?.losses ?? [];
    expect(losses).toHaveLength(1);
    expect(losses[0]?.volume).toBeLessThan(ul(-500));
  });
});
