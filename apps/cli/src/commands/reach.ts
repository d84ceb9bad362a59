import { unitOf } from '@fillwright/core/fleet';
import { formatVolume } from '@fillwright/core/units';
import { call, type ReachRow } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { fleetOf, must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

const WHICH = "'draft', the number of a release, or 'running:SITE' for what a site runs";
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
            `${minuteOfWeek(s.from)} to ${minuteOfWeek(s.to)}`,
            formatVolume(s.room, unit),
            s.by,
          ]),
      ),
    );
    out.line(`${rows.length} classes at hoses`);
    out.value(rows);
  });

export const difference = command('difference', 'what changes in anybody’s reach between two fleets, largest first')
  .argument('<before>', WHICH)
  .argument('[after]', WHICH, 'draft')
  .option('--kind <kind>', 'gained, lost, raised or lowered only')
  .option('--most <count>', 'lines to print, at most 500', '100')
  .action(async (before: string, after: string, options: Common & { kind?: string; most: string }) => {
    const out = outputOf(options);
    const kind = options.kind as 'gained' | undefined;
    const query = given({ before, after, kind, limit: Number(options.most) });
    const found = must(await call(callerOf(options), 'difference', { query }));
    out.table(
      ['Change', 'What', 'Points'],
      found.groups.map((g) => [g.kind, g.text, g.points]),
    );
    const { gained, lost, raised, lowered } = found.points;
    out.line(`${found.groups.length} of ${found.total} groups, ${found.days[0]} to ${found.days[1]}`);
    out.line(
      `Points: ${gained} gained, ${lost} lost, ${raised} raised, ${lowered} lowered, of ${found.looked} looked at`,
    );
    out.value(found);
  });

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

/** What was given of a query; what was not is left to the office. */
function given<T extends Record<string, unknown>>(query: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(query).filter(([, v]) => v !== undefined)) as never;
}

const named = ({ count, names }: ReachRow['who']): string =>
  count > names.length ? `${names.join(', ')} and ${count - names.length} more` : names.join(', ');

const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const minuteOfWeek = (m: number): string => {
  const minute = m % 1440;
  return `${DAYS[Math.floor(m / 1440) % 7]} ${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
};
