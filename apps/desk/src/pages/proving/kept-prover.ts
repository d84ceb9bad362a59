import type { ProverForm } from './run-form.ts';

const KEPT = 'fillwright.prover';

/** The prover of the last run, kept on this computer; null where there is none or nothing may be kept. */
export function keptProver(storage: () => Pick<Storage, 'getItem'>): ProverForm | null {
  try {
    return JSON.parse(storage().getItem(KEPT) ?? 'null') as ProverForm | null;
  } catch {
    return null;
  }
}

/** Keeps it for the next run. A browser that keeps nothing costs some typing, never the run. */
export function keepProver(storage: () => Pick<Storage, 'setItem'>, prover: ProverForm): void {
  try {
    storage().setItem(KEPT, JSON.stringify(prover));
  } catch {
    // It is typed again next time.
  }
}
