import { describe, expect, it } from 'vitest';
import { leastSquares } from './least-squares.ts';

const list = (text: string) => Float64Array.from(text.trim().split(/\s+/), Number);
const ones = (n: number) => new Float64Array(n).fill(1);
/** Certified digits in common: -log10 of the relative difference. */
const digits = (found: number | undefined, certified: number) =>
  -Math.log10(Math.abs(((found ?? Number.NaN) - certified) / certified) || 1e-16);

// NIST Statistical Reference Datasets, linear regression: data and certified values.
const norrisY = list(`0.1 338.8 118.1 888 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8
  557.7 228.3 998 888.8 119.6 0.3 0.6 557.6 339.3 888 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2`);
const norrisX = list(`0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777 558.2 0.4 0.6 775.5 666.9 338 447.5 11.6
  556 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999 779 11.1 118.3 229.2 669.1 448.9 0.5`);
const pontiusY = list(`0.11019 0.21956 0.32949 0.43899 0.54803 0.65694 0.76562 0.87487 0.98292 1.09146 1.20001 1.30822
  1.41599 1.52399 1.63194 1.73947 1.84646 1.95392 2.06128 2.16844 0.11052 0.22018 0.32939 0.43886 0.54798 0.65739 0.76596
  0.87474 0.983 1.0915 1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829`);
const pontiusX = Float64Array.from({ length: 40 }, (_, i) => 150_000 * ((i % 20) + 1));
// Longley's data, J. W. Longley, JASA 62 (1967), as in StRD: the rows from memory. The certified values below are read, and meet them.
const longley = `60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962`
  .split('\n')
  .map((row) => row.split(' ').map(Number));

describe('least squares against NIST StRD', () => {
  it('Norris, a line: at least nine digits', () => {
    const s = leastSquares([ones(36), norrisX], norrisY);
    expect(digits(s?.coefficients[0], -0.262323073774029)).toBeGreaterThan(9);
    expect(digits(s?.coefficients[1], 1.00211681802045)).toBeGreaterThan(9);
    expect(digits(s?.errors[0], 0.232818234301152)).toBeGreaterThan(9);
    expect(digits(s?.errors[1], 0.000429796848199937)).toBeGreaterThan(9);
    expect(digits(s?.deviation, 0.884796396144373)).toBeGreaterThan(9);
  });
  it('Pontius, a quadratic of a load cell: at least nine digits', () => {
    const s = leastSquares([ones(40), pontiusX, pontiusX.map((x) => x * x)], pontiusY);
    const certified = [6.73565789473684e-4, 7.32059160401003e-7, -3.16081871345029e-15];
    const errors = [1.07938612033077e-4, 1.57817399981659e-10, 4.86652849992036e-17];
    for (const [i, value] of certified.entries()) expect(digits(s?.coefficients[i], value)).toBeGreaterThan(9);
    for (const [i, value] of errors.entries()) expect(digits(s?.errors[i], value)).toBeGreaterThan(9);
    expect(digits(s?.deviation, 2.05177424076185e-4)).toBeGreaterThan(9);
  });
  it('Longley, six columns that nearly agree: at least nine digits', () => {
    const column = (j: number) => Float64Array.from(longley, (row) => row[j] as number);
    const s = leastSquares([ones(16), ...[1, 2, 3, 4, 5, 6].map(column)], column(0));
    const certified = [
      -3482258.63459582, 15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359,
      -0.0511041056535807, 1829.15146461355,
    ];
    for (const [i, value] of certified.entries()) expect(digits(s?.coefficients[i], value)).toBeGreaterThan(9);
    expect(digits(s?.deviation, 304.854073561965)).toBeGreaterThan(9);
  });
});

describe('columns that cannot be told apart', () => {
  it('have no answer', () => {
    const [a, b] = [norrisX, norrisX.map((x) => 2 * x)];
    expect(leastSquares([ones(36), a, b], norrisY)).toBeUndefined();
    expect(leastSquares([ones(36), new Float64Array(36)], norrisY)).toBeUndefined();
    expect(leastSquares([ones(2), list('1 2'), list('3 5')], list('1 2'))).toBeUndefined();
  });
});
