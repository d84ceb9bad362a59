import { type Fleet, toJson } from '@fillwright/core/fleet';
import { type Bundle, fleetOfSite, type SignedText } from '@fillwright/wire';
import { digestOf, sha256Hex, signValue } from '@fillwright/wire/keys';
import { proofOf } from './proof.ts';

const NINETY_DAYS_MS = 90 * 86_400_000;

export interface MadeBundle extends SignedText {
  /** SHA-256 of the signed text, hex. */
  readonly digest: string;
  readonly bytes: number;
}

/** What one site runs as of a release, with its proof, signed by the office. */
export function makeBundle(
  release: { fleet: string; number: number; parent: number | null; at: number; content: Fleet },
  site: string,
  privateKey: string,
): MadeBundle {
  const own = fleetOfSite(release.content, site);
  const content = toJson(own);
  const contentDigest = digestOf(content);
  const proof = proofOf(own, site, contentDigest, release.at);
  const bundle: Bundle = {
    format: 1,
    fleet: release.fleet,
    site,
    revision: release.number,
    parent: release.parent,
    issuedAt: release.at,
    expiresAt: release.at + NINETY_DAYS_MS,
    digests: { content: contentDigest, proof: digestOf(proof) },
    content,
    proof,
  };
  const signed = signValue(bundle, privateKey);
  return { ...signed, digest: sha256Hex(signed.signed), bytes: Buffer.byteLength(signed.signed) };
}
