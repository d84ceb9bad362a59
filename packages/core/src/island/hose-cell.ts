import type { HoseSignal, HoseSignalKind, Turn } from './turn.ts';
import type { HoseName } from './types.ts';

/** One cell of the hose's table: what is done, in words, and where it may lead. */
export interface HoseCell<K extends HoseSignalKind = HoseSignalKind> {
  readonly does: string;
  readonly to: readonly HoseName[];
  readonly run: (t: Turn, id: string, signal: HoseSignal<K>) => void;
}
export type HoseRow = { readonly [K in HoseSignalKind]?: HoseCell<K> };

export const cell = <K extends HoseSignalKind>(
  does: string,
  to: readonly HoseName[],
  run: HoseCell<K>['run'],
): HoseCell<K> => ({ does, to, run });
