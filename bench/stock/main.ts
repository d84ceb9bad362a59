import { bookDays, leastSquares, tankModel } from '@fillwright/core/stock';
import { tankLife } from '@fillwright/sim';
import { Matrix, solve } from 'ml-matrix';
import { priorFit, sumsOf } from '../../packages/core/src/stock/prior-fit.ts';

/**
 * What wet stock costs: months of tanks judged one after another, growth with the readings, and the solver with its rank check and
 * intervals against the library's plain solve. `npx tsx bench/stock/main.ts`; `--whole [tanks]` judges so many tanks x 36 months.
 */
const median = (list: number[]) => [...list].sort((a, b) => a - b)[list.length >> 1] as number;
/** Processor time, ms: the wall's clock says little on a shared machine. */
const timed = (deed: () => unknown): number => {
  const began = process.cpuUsage();
  deed();
  const used = process.cpuUsage(began);
  return (used.user + used.system) / 1000;
};

const months = Array.from({ length: 8 }, (_, i) => tankLife({ seed: i, days: 30, fallMm: 10 * i }));
for (let warm = 0; warm < 6; warm++) for (const m of months) tankModel(m);
const each = median(months.map((m) => timed(() => tankModel(m))));
const rows = months[0]?.readings.length ?? 0;
console.log(
  `one month of one tank (${rows} readings): ${each.toFixed(1)} ms; 1,000 tanks x 36 months at that: ${((each * 36_000) / 60_000).toFixed(0)} min on one core`,
);

for (const days of [15, 30, 60, 90]) {
  const life = tankLife({ seed: 1, days, fallMm: 20 });
  for (let warm = 0; warm < 3; warm++) tankModel(life);
  const ms = median([1, 2, 3, 4, 5, 6, 7, 8, 9].map(() => timed(() => tankModel(life))));
  console.log(
    `  ${days} days, ${life.readings.length} readings: ${ms.toFixed(1)} ms, ${((1000 * ms) / life.readings.length).toFixed(1)} us a reading`,
  );
}

// The same system both ways: ours gives errors, residuals and rank besides.
const n = 3_000;
const columns = Array.from({ length: 16 }, (_, j) =>
  Float64Array.from({ length: n }, (_, i) => Math.sin((j + 1) * i * 0.001) + (j === 0 ? 1 : 0)),
);
const y = Float64Array.from({ length: n }, (_, i) => Math.cos(i * 0.01));
const matrix = Matrix.zeros(n, 16);
for (const [j, c] of columns.entries()) for (let i = 0; i < n; i++) matrix.set(i, j, c[i] as number);
const target = Matrix.columnVector(y);
const design = Float64Array.from(columns.flatMap((c) => [...c]));
const [ones, nothing] = [new Float64Array(n).fill(1), columns.map(() => null)];
const bySums: number[] = [];
const ours: number[] = [];
const plain: number[] = [];
for (let round = 0; round < 25; round++) {
  ours.push(timed(() => leastSquares(columns, y)));
  bySums.push(timed(() => priorFit(sumsOf(design, columns.length, y, ones), nothing)));
  plain.push(timed(() => solve(matrix, target)));
}
const against = (ms: number) => `${ms.toFixed(1)} ms (${(ms / median(plain)).toFixed(2)} of it)`;
console.log(
  `least squares ${n} x 16 with errors: by sums, as the model does it, ${against(median(bySums))}, by QR ${against(median(ours))}; ml-matrix solve, without errors, ${median(plain).toFixed(1)} ms`,
);

// The book is exact whole numbers: three years of moves and daily dips of one tank.
const DAY = 86_400_000;
const moves = Array.from({ length: 3 * 365 * 30 }, (_, i) => ({
  at: Math.floor((i * DAY) / 30),
  kind: 'fill' as const,
  volume: -85_000_000,
}));
const dips = Array.from({ length: 3 * 365 }, (_, i) => ({ at: i * DAY + DAY - 1, volume: 1e12 - i }));
const book = median([1, 2, 3, 4, 5].map(() => timed(() => bookDays(moves, dips, (at) => Math.floor(at / DAY)))));
console.log(
  `book of three years (${moves.length} fills): ${book.toFixed(1)} ms; of 1,000 tanks: ${(book).toFixed(1)} s`,
);

const whole = process.argv.indexOf('--whole');
if (whole > 0) {
  const tanks = Number(process.argv[whole + 1] ?? 1_000);
  let ms = 0;
  for (let tank = 0; tank < tanks; tank++) {
    for (let month = 0; month < 36; month++) {
      const life = tankLife({ seed: `${tank}/${month}`, days: 30, fallMm: tank % 60 });
      ms += timed(() => tankModel(life));
    }
    if ((tank + 1) % 50 === 0 || tank + 1 === tanks)
      console.log(
        `${tank + 1} tanks x 36 months judged in ${(ms / 60_000).toFixed(1)} min of processor, ${(ms / (36 * (tank + 1))).toFixed(1)} ms a month`,
      );
  }
}
