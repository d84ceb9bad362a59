import { unitOf } from '@fillwright/core/fleet';
import { formatLimit } from '@fillwright/core/units';
import { call, type ReachRow } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { fleetOf, must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { given, named, spanWords, WHICH } from './reach-words.ts';

const PAGE = 500;

export const reach = command(
  'reach',
  'who can draw what, where and when, at most, by classes that no rule can tell apart',
)
  .option('--which <fleet>', WHICH, 'draft')
  .option('--site <id>', 'this site only')
  .option('--driver <id>', 'this driver only')
  .option('--vehicle <id>', 'this vehicle only')
  .action(async (options: Common & { which: string; site?: string; driver?: string; vehicle?: string }) => {
    const out = outputOf(options);
    const office = callerOf(options);
    const { which, site, driver, vehicle } = options;
    const unit = unitOf((await fleetOf(office, 'draft')).settings);
    const rows: ReachRow[] = [];
    for (;;) {
      const query = { which, site, driver, vehicle, offset: rows.length, limit: PAGE };
      const page = must(await call(office, 'reach', { query: given(query) }));
      rows.push(...page.rows);
      if (page.rows.length === 0 || rows.length >= page.total) break;
    }
    out.table(
      ['Site', 'Product', 'Hoses', 'Who', 'Alone', 'When', `Up to (${unit})`, 'By'],
      rows.flatMap((r) =>
        r.stretches
          .filter((s) => s.room > 0)
          .map((s) => [
            r.site,
            r.product,
            r.hoses.join(' '),
            named(r.who),
            r.alone ? 'yes' : 'no',
            spanWords(s),
            formatLimit(s.room, unit),
            s.by,
          ]),
      ),
    );
    out.line(`${rows.length} classes at hoses`);
    out.value(rows);
  });

export const week = command('week', 'what may be drawn over the week, at most, at one site or at every one')
  .option('--which <fleet>', WHICH, 'draft')
  .option('--site <id>', 'at this site; else the most of each product at any')
  .option('--driver <id>', 'by this driver, alone; with --vehicle, by the two together')
  .option('--vehicle <id>', 'by this vehicle, alone')
  .option('--with-anybody', 'that driver or vehicle alone or with anybody')
  .option('--department <name>', 'by anybody of this department; with nobody named, by anybody')
  .option('--hose <id>', 'from this hose only')
  .option('--product <id>', 'of this product only')
  .action(async (options: WeekOptions) => {
    const out = outputOf(options);
    const office = callerOf(options);
    const unit = unitOf((await fleetOf(office, 'draft')).settings);
    const who = Object.fromEntries(WHO.map((name) => [name, options[name]]));
    const withAnybody = options.withAnybody ? 'true' : undefined;
    const query = given({ which: options.which, ...who, withAnybody });
    const found = must(await call(office, 'reachWeek', { query }));
    if (found.why !== null) out.line(found.why);
    const rows = (site: string, w: (typeof found.weeks)[number]) =>
      w.nothing !== null
        ? [[site, w.product, w.hoses.join(' '), 'never', '0', w.nothing]]
        : w.stretches
            .filter((s) => s.room > 0)
            .map((s) => [site, w.product, w.hoses.join(' '), spanWords(s), formatLimit(s.room, unit), s.by]);
    const weeks = found.weeks.flatMap((w) => rows(options.site ?? 'any', w));
    const sites = found.sites.flatMap((s) => rows(s.site, s));
    out.table(['Site', 'Product', 'Hoses', 'When', `Up to (${unit})`, 'By'], [...weeks, ...sites]);
    if (found.cards.length > 0) out.line(`Presented by ${found.cards.join(' and ')}`);
    out.value(found);
  });
const WHO = ['site', 'driver', 'vehicle', 'department', 'hose', 'product'] as const;
type WeekOptions = Common & { which: string; withAnybody?: boolean } & Record<(typeof WHO)[number], string | undefined>;

export const expectations = command(
  'expectations',
  'whether the customer’s expectations hold; exit code 1 where one is broken',
)
  .option('--which <fleet>', WHICH, 'draft')
  .action(async (options: Common & { which: string }) => {
    const out = outputOf(options);
    const { expectations: list } = must(
      await call(callerOf(options), 'expectations', { query: { which: options.which } }),
    );
    out.table(
      ['Verdict', 'Id', 'Expectation', 'Why'],
      list.map((e) => [e.verdict, e.id, e.sentence, e.verdict === 'holds' ? '' : e.text]),
    );
    const count = (verdict: string) => list.filter((e) => e.verdict === verdict).length;
    out.line(
      `${count('holds')} hold, ${count('broken')} broken, ${count('unread')} cannot be read, ${count('idle')} ask nothing now`,
    );
    out.value(list);
    if (count('broken') + count('unread') > 0) process.exitCode = EXIT.failed;
  });
