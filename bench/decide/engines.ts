import { createMongoAbility, type MongoAbility, subject } from '@casl/ability';
import * as cedar from '@cedar-policy/cedar-wasm/nodejs';
import { compile, decide, NO_USAGE, ruleOf } from '@fillwright/core/decide';
import { zoneTable } from '@fillwright/core/units';
import { newEnforcer, newModelFromString, StringAdapter } from 'casbin';
import { Engine } from 'json-rules-engine';
import type { Ask, Group, Workload } from './workload.ts';

/** Engines put on the same footing: each gets what it needs prepared beforehand and answers yes or no to one request at a time. */
export interface Contender {
  readonly name: string;
  readonly answer: (ask: Ask) => boolean | Promise<boolean>;
}

/** Minutes of the week at which a group's window is open, as [from, to) pairs. */
function openings(g: Group): [number, number][] {
  if (g.window === null) return [[0, 10_080]];
  const { from, to } = g.window;
  return g.window.days.map((d) => [d * 1440 + from, d * 1440 + to]);
}

export function fillwright(w: Workload): Contender {
  const policy = compile(w.fleet, (zone) => zoneTable(zone, 2025, 2027));
  return {
    name: 'fillwright decide (verdict, limit, deciding rule)',
    answer: (a) => {
      const d = decide(policy, a.request, NO_USAGE);
      sink = ruleOf(d).length + (d.approved ? d.limit : 0);
      return d.approved;
    },
  };
}
/** Keeps the optimiser from dropping answers that nobody reads. */
export let sink = 0;

/** The least that any program must do for this workload: look-ups by the same strings into tables laid out by hand. */
export function floor(w: Workload): Contender {
  const drivers = new Map(
    [...w.fleet.credentials.values()].map((c) => [
      c.number,
      c.driver === null ? -1 : w.groups.findIndex((g) => g.id === w.groupOf.get(c.driver ?? '')),
    ]),
  );
  const hoses = new Map([...w.fleet.hoses.values()].map((h) => [h.id, h]));
  const ready = w.groups.map((g) => {
    const open = new Uint8Array(10_080);
    for (const [from, to] of openings(g)) open.fill(1, from, to);
    return { products: new Set(g.products), sites: new Set(g.sites), open, limit: g.perFill };
  });
  return {
    name: 'hand-compiled floor (verdict, limit, reason)',
    answer: (a) => {
      const hose = hoses.get(a.hose);
      const g = ready[drivers.get(a.card) ?? -1];
      let reason = 'unknown';
      let limit = 0;
      if (hose && hose.site === a.site && g) {
        const minute = Math.floor(a.at / 60_000 + 4320) % 10_080;
        if (!g.products.has(hose.product)) reason = 'product';
        else if (!g.sites.has(a.site)) reason = 'site';
        else if (g.open[minute] === 0) reason = 'time';
        else {
          limit = Math.min(g.limit, hose.mostPerFill);
          reason = g.limit <= hose.mostPerFill ? 'per-fill' : 'hose';
        }
      }
      sink = reason.length + limit;
      return limit > 0;
    },
  };
}

export function casl(w: Workload): Contender {
  const abilities = new Map<string, MongoAbility>();
  for (const g of w.groups) {
    const times = openings(g).map(([from, to]) => ({ minute: { $gte: from, $lt: to } }));
    abilities.set(
      g.id,
      createMongoAbility(
        times.map((t) => ({
          action: 'draw',
          subject: 'Hose',
          conditions: { product: { $in: [...g.products] }, site: { $in: [...g.sites] }, ...t },
        })),
      ),
    );
  }
  return {
    name: 'CASL, an ability per group',
    answer: (a) =>
      abilities.get(a.group)?.can('draw', subject('Hose', { product: a.product, site: a.site, minute: a.minute })) ===
      true,
  };
}

export function cedarEngine(w: Workload): Contender {
  const quote = (list: readonly string[]) => `[${list.map((s) => `"${s}"`).join(',')}]`;
  const text = w.groups
    .map((g) => {
      const times = openings(g).map(([from, to]) => `(context.minute >= ${from} && context.minute < ${to})`);
      const when = times.length > 0 ? times.join(' || ') : 'false';
      return `permit(principal in Group::"${g.id}", action == Action::"draw", resource) when { ${quote(g.products)}.contains(context.product) && ${quote(g.sites)}.contains(context.site) && (${when}) };`;
    })
    .join('\n');
  const parsed = cedar.preparsePolicySet('bench', { staticPolicies: text });
  if (parsed.type !== 'success') throw new Error(JSON.stringify(parsed));
  return {
    name: 'Cedar (wasm)',
    answer: (a) => {
      const answer = cedar.statefulIsAuthorized({
        principal: { type: 'Driver', id: a.driver },
        action: { type: 'Action', id: 'draw' },
        resource: { type: 'Hose', id: a.hose },
        context: { product: a.product, site: a.site, minute: a.minute },
        preparsedPolicySetId: 'bench',
        entities: [{ uid: { type: 'Driver', id: a.driver }, attrs: {}, parents: [{ type: 'Group', id: a.group }] }],
      });
      if (answer.type !== 'success') throw new Error(JSON.stringify(answer));
      return answer.response.decision === 'allow';
    },
  };
}

export async function casbin(w: Workload): Promise<Contender> {
  const model = `
[request_definition]
r = product, site, minute
[policy_definition]
p = product, site, from, to
[policy_effect]
e = some(where (p.eft == allow))
[matchers]
m = r.product == p.product && r.site == p.site && within(r.minute, p.from, p.to)
`;
  const byGroup = new Map<string, Awaited<ReturnType<typeof newEnforcer>>>();
  for (const g of w.groups) {
    const lines = g.products.flatMap((p) =>
      g.sites.flatMap((s) => openings(g).map(([from, to]) => `p, ${p}, ${s}, ${from}, ${to}`)),
    );
    const enforcer = await newEnforcer(
      newModelFromString(model),
      new StringAdapter(lines.join('\n') || 'p, none, none, 0, 0'),
    );
    await enforcer.addFunction(
      'within',
      (minute: number, from: string, to: string) => minute >= Number(from) && minute < Number(to),
    );
    byGroup.set(g.id, enforcer);
  }
  return {
    name: 'casbin, an enforcer per group',
    answer: (a) => byGroup.get(a.group)?.enforceSync(a.product, a.site, a.minute) === true,
  };
}

export function jsonRules(w: Workload): Contender {
  const engines = new Map<string, Engine>();
  for (const g of w.groups) {
    const engine = new Engine([], { allowUndefinedFacts: true });
    for (const [from, to] of openings(g)) {
      engine.addRule({
        conditions: {
          all: [
            { fact: 'product', operator: 'in', value: [...g.products] },
            { fact: 'site', operator: 'in', value: [...g.sites] },
            { fact: 'minute', operator: 'greaterThanInclusive', value: from },
            { fact: 'minute', operator: 'lessThan', value: to },
          ],
        },
        event: { type: 'allow' },
      });
    }
    engines.set(g.id, engine);
  }
  return {
    name: 'json-rules-engine, an engine per group',
    answer: async (a) =>
      ((await engines.get(a.group)?.run({ product: a.product, site: a.site, minute: a.minute }))?.events.length ?? 0) >
      0,
  };
}
