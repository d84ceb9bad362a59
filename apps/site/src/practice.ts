import { compile, type DecisionRequest, decide, NO_USAGE } from '@fillwright/core/decide';
import { err, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import { zoneTable } from '@fillwright/core/units';
import type { PinsMessage } from '@fillwright/wire';
import { type Bundle, contentOfSite, type ProofCase } from '@fillwright/wire';
import { digestOf, seal, signValue } from '@fillwright/wire/keys';
import { type Identity, identityIn, keepMembership, membershipIn } from './box/identity.ts';
import { emptyShelf, switched } from './bundles/shelf.ts';
import { openBundles } from './bundles/store.ts';

export interface PracticeOptions {
  readonly dataDir: string;
  readonly fleet: Fleet;
  readonly site: string;
  readonly now: number;
  readonly randomId: () => string;
}

/** Of a box that practises: its own key signs what it runs, and there is no office. */
const FLEET = 'practice';
const YEAR_MS = 365 * 86_400_000;

/**
 * Makes a data folder a practice yard: no office, a bundle signed by the box itself, taken at once. A folder that has joined an
 * office is refused (FW-607), so that practice never mixes with a ledger.
 */
export function preparePractice(options: PracticeOptions): Result<Identity, Problem> {
  const { dataDir, fleet, site, now } = options;
  const identity = identityIn(dataDir, options.randomId);
  if (!identity.ok) return identity;
  const before = membershipIn(dataDir);
  if (!before.ok) return before;
  if (before.value && before.value.fleet !== FLEET)
    return err(
      problem('FW-607', {
        cause: 'This folder belongs to a box that has joined an office.',
        mend: 'Name another folder for practice.',
        at: { in: dataDir },
      }),
    );
  const row = fleet.sites.get(site);
  if (!row)
    return err(problem('FW-204', { at: { in: 'sites' }, found: site, expected: [...fleet.sites.keys()].join(', ') }));
  const { sign } = identity.value;
  const membership = {
    fleet: FLEET,
    site,
    name: row.name,
    officeKey: sign.publicKey,
    officeKeyVersion: 0,
    mqttUrl: 'mqtt://practice.invalid',
    user: '',
    password: '',
  };
  const kept = keepMembership(dataDir, membership);
  if (!kept.ok) return kept;
  const bundles = openBundles(dataDir);
  if (!bundles.ok) return bundles;
  const store = bundles.value;
  const shelf = store.shelf();
  const bundle = bundleOf(fleet, { fleet: FLEET, site, revision: shelf.newest + 1, parent: shelf.running, now });
  const running = shelf.running === null ? undefined : store.get(shelf.running);
  if (running?.signed.includes(bundle.digests.content)) return identity;
  const put = store.put(bundle.revision, signValue(bundle, sign.privateKey));
  if (!put.ok) return put;
  // Practice leaves nothing to fall back to: what it runs is what it was given.
  const next = store.keep({
    ...switched({ ...emptyShelf, newest: shelf.newest }, bundle.revision, now),
    trialStarts: null,
  });
  return next.ok ? identity : next;
}

export interface BundleFor {
  readonly fleet: string;
  readonly site: string;
  readonly revision: number;
  readonly parent: number | null;
  readonly now: number;
}

/** A bundle of a fleet for one site, with a proof of its first credentials at every hose. */
export function bundleOf(fleet: Fleet, b: BundleFor): Bundle {
  const content = contentOfSite(fleet, b.site);
  const proof = proofOf(fleet, b.site, b.now);
  return {
    format: 1,
    fleet: b.fleet,
    site: b.site,
    revision: b.revision,
    parent: b.parent,
    issuedAt: b.now,
    expiresAt: b.now + YEAR_MS,
    digests: { content: digestOf(content), proof: digestOf(proof) },
    content,
    proof,
  };
}

function proofOf(fleet: Fleet, site: string, at: number): ProofCase[] {
  const policy = compile(fleet, (zone) => zoneTable(zone));
  const numbers = [...fleet.credentials.values()].slice(0, 20).map((c) => c.number);
  const hoses = [...fleet.hoses.values()].filter((h) => h.site === site);
  return hoses.flatMap((hose) =>
    numbers.map((number) => {
      const request: DecisionRequest = { site, hose: hose.id, at, credentials: [number], pin: 'right', answers: {} };
      const decision = decide(policy, request, NO_USAGE);
      return {
        request,
        approved: decision.approved,
        by: decision.by.rule,
        limit: decision.approved ? decision.limit : null,
      };
    }),
  );
}

/** Every driver's PIN, sealed to this box; `version` counts up with each change. */
export const sealPins = (
  fleet: Fleet,
  sealKey: string,
  pinOf: (driver: string) => string,
  version: number,
): PinsMessage => ({
  version,
  pins: [...fleet.drivers.keys()].map((driver) => ({ driver, sealed: seal(pinOf(driver), sealKey) })),
});
