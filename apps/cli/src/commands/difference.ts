import { call, type DifferenceReply } from '@fillwright/wire';
import { must } from '../office.ts';
import type { Output } from '../output.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { given, named, spanWords, WHICH } from './reach-words.ts';

type WithinOptions = {
  driver?: string;
  vehicle?: string;
  department?: string;
  product?: string;
  kind?: string;
  most: string;
  week?: boolean;
};

/** Options that say what of a difference is looked at and how much of it is printed. */
const differing = (of: ReturnType<typeof command>) =>
  of
    .option('--driver <id>', 'of this driver only; with --vehicle, of the two together')
    .option('--vehicle <id>', 'of this vehicle only')
    .option('--department <name>', 'of this department only')
    .option('--product <id>', 'of this product only')
    .option('--kind <kind>', 'gained, lost, raised or lowered only')
    .option('--week', 'also when it shows over the week, and for whom nothing changes')
    .option('--most <count>', 'lines to print, at most 500', '100');

const queryOf = ({ driver, vehicle, department, product, kind, most, week }: WithinOptions) => ({
  ...{ driver, vehicle, department, product, limit: Number(most) },
  kind: kind as 'gained' | undefined,
  week: week ? 'true' : undefined,
});

export const difference = differing(
  command('difference', 'what changes in anybody’s reach between two fleets, largest first')
    .argument('<before>', WHICH)
    .argument('[after]', WHICH, 'draft')
    .option('--site <id>', 'at this site only'),
).action(async (before: string, after: string, options: Common & WithinOptions & { site?: string }) => {
  const query = given({ before, after, site: options.site, ...queryOf(options) });
  tell(outputOf(options), must(await call(callerOf(options), 'difference', { query })));
});

export const differenceOfSites = differing(
  command(
    'difference-of-sites',
    'who can draw what at one site and not at another; ‘gained’ and ‘raised’ are more at the second',
  )
    .argument('<first>', 'id of a site')
    .argument('<second>', 'id of another')
    .option('--which <fleet>', WHICH, 'draft'),
).action(async (first: string, second: string, options: Common & WithinOptions & { which: string }) => {
  const query = given({ which: options.which, first, second, ...queryOf(options) });
  tell(outputOf(options), must(await call(callerOf(options), 'siteDifference', { query })));
});

function tell(out: Output, found: DifferenceReply & { readonly total: number }): void {
  out.table(
    ['Change', 'What', 'Points'],
    found.groups.map((g) => [g.kind, g.text, g.points]),
  );
  const { gained, lost, raised, lowered } = found.points;
  if (found.weeks)
    out.table(
      ['Product', 'When', 'Gained', 'Lost', 'Raised', 'Lowered'],
      found.weeks.flatMap(({ product, stretches }) =>
        stretches.map((s) => {
          const minutes = s.to - s.from;
          return [product, spanWords(s), ...[s.gained, s.lost, s.raised, s.lowered].map((n) => String(n * minutes))];
        }),
      ),
    );
  if (found.unchanged) {
    const { drivers, vehicles } = found.unchanged;
    out.line(`Nothing changes for: ${named(drivers) || 'no driver'}; ${named(vehicles) || 'no vehicle'}`);
  }
  out.line(`${found.groups.length} of ${found.total} groups, ${found.days[0]} to ${found.days[1]}`);
  out.line(
    `Points: ${gained} gained, ${lost} lost, ${raised} raised, ${lowered} lowered, of ${found.looked} looked at`,
  );
  out.value(found);
}
