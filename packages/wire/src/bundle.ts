import type { DecisionRequest } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, type FleetJson, toJson } from '@fillwright/core/fleet';
import { z } from 'zod';

/** A request with the decision that the hub expects: the site must come to the same before it runs the bundle. */
export interface ProofCase {
  readonly request: DecisionRequest;
  readonly approved: boolean;
  /** Rule code that decided. */
  readonly by: string;
  /** Microlitres; null where refused. */
  readonly limit: number | null;
}

/** Everything that one site needs to decide by itself, as of one revision. */
export interface Bundle {
  readonly format: 1;
  readonly fleet: string;
  readonly site: string;
  readonly revision: number;
  /** The revision before; null for the first. */
  readonly parent: number | null;
  readonly issuedAt: number;
  /** After it the bundle is stale: the site goes on and says so. */
  readonly expiresAt: number;
  /** SHA-256 of the canonical JSON of `content` and of `proof`, hex. */
  readonly digests: { readonly content: string; readonly proof: string };
  readonly content: FleetJson;
  readonly proof: readonly ProofCase[];
}

export const bundleShape = z.strictObject({
  format: z.literal(1),
  fleet: z.string(),
  site: z.string(),
  revision: z.int().min(1),
  parent: z.int().min(1).nullable(),
  issuedAt: z.int(),
  expiresAt: z.int(),
  digests: z.strictObject({ content: z.string(), proof: z.string() }),
  content: z.unknown(),
  proof: z.array(z.unknown()),
});

/** The part of a fleet that one site runs on: its own plumbing, and everybody who might come. */
export function fleetOfSite(fleet: Fleet, site: string): Fleet {
  const own = <T extends { readonly site: string }>(rows: ReadonlyMap<string, T>) =>
    new Map([...rows].filter(([, row]) => row.site === site));
  return {
    ...fleet,
    sites: new Map([...fleet.sites].filter(([id]) => id === site)),
    islands: own(fleet.islands),
    tanks: own(fleet.tanks),
    pumps: own(fleet.pumps),
    terminals: own(fleet.terminals),
    hoses: own(fleet.hoses),
    prices: new Map([...fleet.prices].filter(([, p]) => p.site === null || p.site === site)),
    expectations: emptyFleet(fleet.settings).expectations,
  };
}

export const contentOfSite = (fleet: Fleet, site: string): FleetJson => toJson(fleetOfSite(fleet, site));
