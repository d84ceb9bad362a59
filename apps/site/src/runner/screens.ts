import {
  displayOf,
  type Effect,
  type ReceiptNames,
  receiptLines,
  sentenceOf,
  type YardPlan,
} from '@fillwright/core/island';
import { formatDate, formatMinute, localMoment, type ZoneTable } from '@fillwright/core/units';
import type { YardPort } from '@fillwright/devices';

/** What a terminal shows now. */
export interface Screen {
  readonly screen: string;
  readonly language: string;
  /** For a screen reader. */
  readonly sentence: string;
  /** Exactly as the display has it: rows of columns. */
  readonly lines: readonly string[];
  /** Hoses that may be chosen now. */
  readonly hoses: readonly string[];
  /** Counts up with each sound. */
  readonly beeps: number;
  readonly tone: string;
  /** The last paper that came out; empty when none did. */
  readonly paper: readonly string[];
}

export interface Screens {
  show(effect: Extract<Effect, { do: 'show' }>): void;
  beep(terminal: string, tone: string): void;
  print(effect: Extract<Effect, { do: 'print' }>, yard: YardPort | undefined): void;
  of(terminal: string): Screen;
}

export interface ScreensOptions {
  readonly plan: () => YardPlan;
  readonly zone: () => ZoneTable | undefined;
  readonly names: ReceiptNames;
  readonly changed: () => void;
  readonly shown: (effect: Extract<Effect, { do: 'show' }>) => void;
}

const DARK: Screen = {
  screen: 'idle',
  language: 'en',
  sentence: '',
  lines: [],
  hoses: [],
  beeps: 0,
  tone: '',
  paper: [],
};

export function openScreens({ plan, zone, names, changed, shown }: ScreensOptions): Screens {
  const now = new Map<string, Screen>();
  const of = (terminal: string): Screen => now.get(terminal) ?? DARK;
  const set = (terminal: string, change: Partial<Screen>): void => {
    now.set(terminal, { ...of(terminal), ...change });
    changed();
  };
  return {
    of,
    show(effect) {
      const { terminal, screen, language, data } = effect;
      const size = plan().terminals[terminal];
      if (!size) return;
      set(terminal, {
        screen,
        language,
        sentence: sentenceOf(screen, language, data),
        lines: displayOf(screen, language, data, size).lines,
        hoses: Array.isArray(data.hoses) ? data.hoses : [],
      });
      shown(effect);
    },
    beep(terminal, tone) {
      set(terminal, { beeps: of(terminal).beeps + 1, tone });
    },
    print({ terminal, language, receipt }, yard) {
      const to = plan().terminals[terminal];
      if (!to || to.paper === null) return;
      const time = localTime(receipt.at, zone());
      const { lines } = receiptLines(receipt, { ...to, paper: to.paper }, language, time, names);
      yard?.print?.(terminal, lines);
      set(terminal, { paper: lines });
    },
  };
}

export function localTime(at: number, zone: ZoneTable | undefined): string {
  if (!zone) return new Date(at).toISOString().slice(0, 16).replace('T', ' ');
  const { day, minute } = localMoment(zone, at);
  return `${formatDate(day)} ${formatMinute(minute)}`;
}
