import { unitOf } from '@fillwright/core/fleet';
import { formatVolume } from '@fillwright/core/units';
import { call, type TankStock } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { fleetOf, must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

/** Each tank's wet stock: verdict, rate, least rate seen, monthly sum, days to run out. */
export const stock = command(
  'stock',
  'wet stock of each tank: verdict, monthly sum, run-out; exit code 3 where a tank fails',
)
  .option('--tank <id>', 'only this tank')
  .option('--days <n>', 'how many days are looked at, 7 to 92', '30')
  .option('--lead-days <n>', 'days from order to delivery, 0 to 14', '2')
  .action(async (options: Common & { tank?: string; days: string; leadDays: string }) => {
    const out = outputOf(options);
    const office = callerOf(options);
    const fleet = await fleetOf(office, 'draft');
    const unit = unitOf(fleet.settings);
    const query = { days: Number(options.days), leadDays: Number(options.leadDays) };
    const tanks = options.tank ? [options.tank] : [...fleet.tanks.keys()];
    const all: TankStock[] = [];
    for (const tank of tanks) all.push(must(await call(office, 'tankStock', { params: { tank }, query })));
    const rate = (litres: number) => (litres / (unit === 'gal' ? 3.785411784 : 1)).toFixed(3);
    out.table(
      [
        'Tank',
        'Verdict',
        `Lost, ${unit}/h`,
        'Least seen',
        `Over or short, ${unit}`,
        '1 % + 130 gal',
        'Order within',
        'Runs out',
      ],
      all.map((s) => [
        fleet.tanks.get(s.tank)?.name ?? s.tank,
        s.model?.verdict ?? `none: ${s.noModel}`,
        s.model ? `${rate(s.model.rate)} +- ${rate(s.model.margin)}` : '',
        s.model ? rate(s.model.leastSeen) : '',
        s.month ? formatVolume(s.month.over, unit) : '',
        s.month ? `${s.month.within ? 'within' : 'beyond'} ${formatVolume(s.month.threshold, unit)}` : '',
        s.runOut ? dayText(s.runOut.orderWithinDays) : '',
        s.runOut ? dayText(s.runOut.likelyDays) : '',
      ]),
    );
    for (const s of all) {
      for (const h of s.model?.hoses ?? [])
        if (h.verdict === 'drifts')
          out.line(
            `${s.tank}: hose ${fleet.hoses.get(h.hose)?.number ?? h.hose} counts otherwise than the others: have it proved.`,
          );
      if (s.losses.length > 0) out.line(`${s.tank}: sudden loss.`);
      if (s.water) out.line(`${s.tank}: water rises.`);
    }
    out.line(
      'Decision support: not a certified leak detection method. The authority having jurisdiction and registered people decide.',
    );
    out.value(all);
    if (all.some((s) => s.model?.verdict === 'fail' || s.losses.length > 0)) process.exitCode = EXIT.look;
  });

const dayText = (days: number | null): string => (days === null ? 'not within 28 days' : `${days} days`);
