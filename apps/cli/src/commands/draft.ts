import {
  compile,
  type DecisionRequest,
  decide,
  explain,
  NO_USAGE,
  nextStep,
  type PinState,
  plain,
} from '@fillwright/core/decide';
import { findings as findIn } from '@fillwright/core/findings';
import { unitOf } from '@fillwright/core/fleet';
import { formatLimit, zoneTable } from '@fillwright/core/units';
import { call } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { fleetOf, must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { momentOf } from './files.ts';

export const findings = command('findings', 'check the draft or a release; exit code 3 where errors stand')
  .option('--which <release>', "'draft', or the number of a release", 'draft')
  .action(async (options: Common & { which: string }) => {
    const out = outputOf(options);
    const fleet = await fleetOf(callerOf(options), options.which);
    const found = findIn(fleet, { today: Math.floor(Date.now() / 86_400_000) });
    out.table(
      ['Severity', 'Code', 'Finding', 'Mend'],
      found.map((f) => [f.severity, f.code, f.text, f.mend]),
    );
    const count = (s: string) => found.filter((f) => f.severity === s).length;
    out.line(`${count('error')} errors, ${count('warning')} warnings, ${count('note')} notes`);
    out.value(found);
    if (count('error') > 0) process.exitCode = EXIT.look;
  });

export const bench = command('bench', 'try a fill without fuel; exit code 3 where it is declined')
  .requiredOption('--site <id>', 'where')
  .requiredOption('--hose <id>', 'which hose is wanted')
  .requiredOption('--card <number...>', 'one or two credential numbers')
  .option('--pin <state>', 'right, wrong, locked, notSet or notAsked', 'right')
  .option('--answer <question=text...>', 'answers to questions')
  .option('--at <moment>', 'such as 2026-11-25T14:30Z; now where it is left out')
  .option('--which <release>', "'draft', or the number of a release", 'draft')
  .action(
    async (
      options: Common & {
        site: string;
        hose: string;
        card: string[];
        pin: PinState;
        answer?: string[];
        at?: string;
        which: string;
      },
    ) => {
      const out = outputOf(options);
      const fleet = await fleetOf(callerOf(options), options.which);
      const request: DecisionRequest = {
        site: options.site,
        hose: options.hose,
        at: options.at ? momentOf(options.at, 'at') : Date.now(),
        credentials: options.card,
        pin: options.pin,
        answers: Object.fromEntries(
          (options.answer ?? []).map((a) => [a.slice(0, a.indexOf('=')), a.slice(a.indexOf('=') + 1)]),
        ),
      };
      const decision = decide(
        compile(fleet, (zone) => zoneTable(zone)),
        request,
        NO_USAGE,
      );
      const unit = unitOf(fleet.settings);
      const lines = explain(decision, fleet);
      out.line(decision.approved ? `Approved: up to ${formatLimit(decision.limit, unit)} ${unit}` : 'Declined');
      out.table(
        ['', 'Rule', 'Says', 'Why'],
        lines.map((l) => [l.decides ? '>' : '', l.title, l.says, l.text]),
      );
      if (!decision.approved) out.line(`Next: ${nextStep(decision)}`);
      out.value(plain(decision));
      if (!decision.approved) process.exitCode = EXIT.look;
    },
  );

export const release = command('release', 'freeze the draft, number it, and send it to every site')
  .option('--note <text>', 'what this release is for', '')
  .option(
    '--word <id=text...>',
    "a word for a warning by finding id, for a broken expectation as 'expectation:ID', for what is gained as 'gained'",
  )
  .option('--look', 'only say what it would change and what stands against it')
  .action(async (options: Common & { note: string; word?: string[]; look?: boolean }) => {
    const out = outputOf(options);
    const office = callerOf(options);
    const preview = must(await call(office, 'releasePreview', {}));
    for (const change of preview.changes) out.line(`- ${change}`);
    for (const f of preview.findings) if (f.severity !== 'note') out.line(`${f.severity} ${f.id}: ${f.text}`);
    const stands = must(await call(office, 'releaseStands', {}));
    for (const e of stands.broken) out.line(`broken expectation:${e.id}: ${e.sentence} ${e.text}`);
    for (const line of stands.gained.lines) out.line(`gained: ${line}`);
    if (stands.gained.groups > stands.gained.lines.length)
      out.line(`gained: ${stands.gained.groups - stands.gained.lines.length} smaller groups`);
    if (options.look) {
      out.value({ ...preview, stands });
      if (preview.findings.some((f) => f.severity === 'error')) process.exitCode = EXIT.look;
      return;
    }
    const words = Object.fromEntries(
      (options.word ?? []).map((w) => [w.slice(0, w.indexOf('=')), w.slice(w.indexOf('=') + 1)]),
    );
    const done = must(await call(office, 'release', { body: { version: preview.version, note: options.note, words } }));
    out.line(`Release ${done.number}.`);
    out.value(done);
  });

export const sites = command('sites', 'each site: wanted, delivered and running revision, link').action(
  async (options: Common) => {
    const out = outputOf(options);
    const list = must(await call(callerOf(options), 'sites', {}));
    const revision = (n: number | null) => (n === null ? '-' : String(n));
    const rows = list.map((s) => [
      s.site,
      s.name,
      revision(s.wanted),
      revision(s.delivered),
      revision(s.running),
      s.link,
      String(s.unsent),
      s.refused?.cause ?? '',
    ]);
    out.table(['Site', 'Name', 'Wanted', 'Delivered', 'Running', 'Link', 'Unsent', 'Refused'], rows);
    out.value(list);
  },
);

export const stopCard = command('stop-card', 'stop a credential at every site now')
  .argument('<credential id>')
  .requiredOption('--reason <text>', 'why: lost, stolen, left the fleet ...')
  .action(async (id: string, options: Common & { reason: string }) => {
    const out = outputOf(options);
    const stop = must(
      await call(callerOf(options), 'stopCredential', { params: { id }, body: { reason: options.reason } }),
    );
    out.table(
      ['Site', 'Has it'],
      stop.sites.map((s) => [s.name, s.gotAt === null ? 'not yet' : 'yes']),
    );
    out.value(stop);
  });

export const joinCode = command('join-code', 'make a one-time code with which a box joins as this site')
  .argument('<site id>')
  .action(async (site: string, options: Common) => {
    const out = outputOf(options);
    const code = must(await call(callerOf(options), 'joinCode', { params: { site } }));
    out.line(`${code.code}  (until ${new Date(code.until).toISOString()})`);
    out.value(code);
  });
