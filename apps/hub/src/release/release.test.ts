import { compile, decide, NO_USAGE, ruleOf } from '@fillwright/core/decide';
import { call, fleetOfSite } from '@fillwright/wire';
import { newSigningKeys, openSigned } from '@fillwright/wire/keys';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { zones } from '../ledger/zones.ts';
import { fillDraft, fleetOf, given, openOffice, smallFleet, type TestOffice } from '../testing/office.ts';
import { makeBundle } from './make-bundle.ts';
import { proofOf } from './proof.ts';

let office: TestOffice;
beforeAll(async () => {
  office = await openOffice();
});
afterAll(() => office?.stop());

test('errors stop a release, warnings want a word each, and the words are kept', async () => {
  const { owner } = office;
  await fillDraft(office);
  const release = async (words: Record<string, string>) => {
    const { version } = await given(call(owner, 'draft', {}));
    return call(owner, 'release', { body: { version, note: 'first', words: { gained: 'meant so', ...words } } });
  };
  const change = async (fields: Record<string, unknown>) => {
    const { version } = await given(call(owner, 'draft', {}));
    await given(
      call(owner, 'editDraft', { body: { version, edits: [{ op: 'set', table: 'hoses', id: 'h1', fields }] } }),
    );
  };
  await change({ pump: 'none-such' });
  const wrong = await release({});
  expect(wrong).toMatchObject({ ok: false, error: { status: 409, problem: { code: 'FW-302' } } });
  await change({ pump: 'p1' });
  const { findings, version } = await given(call(owner, 'releasePreview', {}));
  const warnings = findings.filter((f) => f.severity === 'warning');
  if (warnings.length > 0)
    expect(await release({ [warnings[0]?.id ?? '']: '  ' })).toMatchObject({ error: { problem: { code: 'FW-304' } } });
  const words = Object.fromEntries(warnings.map((w) => [w.id, 'we know']));
  expect(await call(owner, 'release', { body: { version: version - 1, note: '', words } })).toMatchObject({
    error: { problem: { code: 'FW-301' } },
  });
  expect(await given(release({ ...words, 'no such finding': 'x' }))).toMatchObject({
    number: 1,
    words: { ...words, gained: 'meant so' },
  });
  expect((await given(call(owner, 'draft', {}))).base).toBe(1);
  await change({ mostPerFill: 200_000_000 });
  const preview = await given(call(owner, 'releasePreview', {}));
  expect(preview.changes.join()).toContain('Most per fill');
  const next = await given(release(Object.fromEntries(preview.findings.map((f) => [f.id, 'we know']))));
  expect(next).toMatchObject({ number: 2, changes: preview.changes });
  const first = (await given(call(owner, 'fleet', { query: { which: '1' } }))).fleet as {
    hoses: { mostPerFill: number }[];
  };
  expect(first.hoses[0]?.mostPerFill).not.toBe(200_000_000);
});

test('a proof is the same from the same release, and every case of it is what decide says', () => {
  const fleet = fleetOfSite(fleetOf(smallFleet()), 'north');
  const from = Date.UTC(2026, 5, 1);
  const proof = proofOf(fleet, 'north', 'ab12cd34', from);
  expect(proofOf(fleet, 'north', 'ab12cd34', from)).toEqual(proof);
  expect(proofOf(fleet, 'north', 'ab12cd35', from)).not.toEqual(proof);
  const policy = compile(fleet, zones);
  for (const { request, approved, by, limit } of proof) {
    const decision = decide(policy, request, NO_USAGE);
    expect([decision.approved, ruleOf(decision), decision.approved ? decision.limit : null]).toEqual([
      approved,
      by,
      limit,
    ]);
  }
  expect(proof.filter((p) => p.approved).length).toBeGreaterThan(20);
});

test('a bundle holds only with the office’s signature, and only as it was', () => {
  const keys = newSigningKeys();
  const content = fleetOf(smallFleet());
  const made = makeBundle({ fleet: 'f', number: 3, parent: 2, at: 1000, content }, 'north', keys.privateKey);
  expect(openSigned(made, keys.publicKey)).toMatchObject({ revision: 3, parent: 2, expiresAt: 1000 + 90 * 86_400_000 });
  expect(openSigned(made, newSigningKeys().publicKey)).toBeUndefined();
  expect(
    openSigned({ ...made, signed: made.signed.replace('"revision":3', '"revision":4') }, keys.publicKey),
  ).toBeUndefined();
});
