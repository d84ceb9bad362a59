import { type Problem, problem, type Result } from '@fillwright/core/errors';
import { celsiusOfFahrenheit } from '@fillwright/core/metering';
import { parseDecimal, parseVolume, type VolumeUnit } from '@fillwright/core/units';

/** What a bill of lading says beside the gross volume, as typed; all of it may be left empty. */
export interface BillForm {
  readonly net: string;
  readonly temperature: string;
  readonly compartments: string;
}
export const EMPTY_BILL: BillForm = { net: '', temperature: '', compartments: '' };

export interface Bill {
  readonly net: number | null;
  readonly tempC: number | null;
  readonly compartments: number[];
}

const wrong = (field: string, expected: string): { ok: false; error: Problem } => ({
  ok: false,
  error: problem('FW-201', { at: { field }, expected }),
});

/** Volumes with commas between them, in microlitres; undefined where one cannot be read. */
export function volumesOf(text: string, unit: VolumeUnit): number[] | undefined {
  const parts = text.split(/[,;]/).map((p) => p.trim());
  if (parts.length === 1 && parts[0] === '') return [];
  const volumes = parts.map((p) => parseVolume(p, unit));
  return volumes.length <= 12 && volumes.every((v): v is number => v !== undefined && v > 0) ? volumes : undefined;
}

/** `gross`: microlitres, as the form had it. Temperatures are in °F where volumes are in gallons. */
export function billOf(form: BillForm, gross: number, unit: VolumeUnit): Result<Bill> {
  const net = form.net.trim() === '' ? null : parseVolume(form.net, unit);
  if (net === undefined || (net !== null && net <= 0))
    return wrong('net', 'a volume with at most three decimals, or nothing');
  if (net !== null && Math.abs(net / gross - 1) > 0.1) return wrong('net', 'a net volume within a tenth of the gross');
  const typed = form.temperature.trim() === '' ? null : parseDecimal(form.temperature, 2);
  if (typed === undefined) return wrong('temperature', 'degrees with at most two decimals, or nothing');
  const tempC = typed === null ? null : unit === 'gal' ? celsiusOfFahrenheit(typed / 100) : typed / 100;
  if (tempC !== null && !(tempC >= -50 && tempC <= 80))
    return wrong('temperature', unit === 'gal' ? '-58 to 176 °F' : '-50 to 80 °C');
  const compartments = volumesOf(form.compartments, unit);
  if (!compartments) return wrong('compartments', 'at most twelve volumes with commas between them, or nothing');
  // Each figure of a bill was rounded once, on its own.
  const sum = compartments.reduce((s, v) => s + v, 0);
  if (compartments.length > 0 && sum !== gross)
    return wrong('compartments', 'compartments that add up to the gross volume');
  return { ok: true, value: { net, tempC, compartments } };
}
