import { useEffect } from 'react';
import { ago, useNow } from '../data/clock.ts';
import { draft, useDraftState } from '../data/draft.ts';
import { useChangers } from '../data/events.ts';
import { useMay, useMe } from '../data/me.ts';
import { Mark } from '../look/marks.tsx';
import { Account } from './account.tsx';
import { Running } from './running.tsx';

/** Others count as being in the draft while they changed something in the last ten minutes. */
const RECENT_MS = 600_000;

/** Fleet, draft, where the releases stand, and who is here: in sight on every page. */
export function TopBar() {
  const { fleet } = useDraftState();
  const me = useMe();
  return (
    <header className="top no-print">
      <strong className="top-fleet">{fleet?.settings.name ?? me?.fleetName}</strong>
      <DraftLine />
      <Running />
      <Account />
    </header>
  );
}

function DraftLine() {
  const { canUndo, canRedo, keeping, waiting } = useDraftState();
  const mayEdit = useMay('editor');
  useUndoKeys(mayEdit);
  return (
    <div className="top-draft">
      <StepButton label="Undo" keys="Control+Z" on={mayEdit && canUndo} step={() => void draft.undo()} />
      <StepButton label="Redo" keys="Control+Y" on={mayEdit && canRedo} step={() => void draft.redo()} />
      <span className="small quiet" role="status">
        {keeping === 'unreachable' ? (
          <Mark is="warning">
            The office does not answer: {waiting.length} {waiting.length === 1 ? 'change waits' : 'changes wait'} in
            this window
          </Mark>
        ) : keeping === 'sending' ? (
          'Keeping …'
        ) : mayEdit ? (
          'Every change is kept'
        ) : (
          'You may look, not change'
        )}
      </span>
      <Others />
    </div>
  );
}

function StepButton({
  label,
  keys,
  on,
  step,
}: {
  label: 'Undo' | 'Redo';
  keys: string;
  on: boolean;
  step: () => void;
}) {
  return (
    <button
      type="button"
      className="button plain icon"
      disabled={!on}
      onClick={step}
      aria-label={label}
      aria-keyshortcuts={keys}
      title={`${label} (${keys.replace('Control', 'Ctrl')})`}
    >
      <svg className="top-step" viewBox="0 0 16 16" aria-hidden="true">
        <path
          d={
            label === 'Undo'
              ? 'M6 3 2.5 6.5 6 10M3 6.5h6.5a4 4 0 0 1 0 8H6'
              : 'M10 3l3.5 3.5L10 10M13 6.5H6.5a4 4 0 0 0 0 8H10'
          }
        />
      </svg>
    </button>
  );
}

function Others() {
  const me = useMe();
  const now = useNow();
  const changers = useChangers();
  const others = [...changers].filter(([by, at]) => by !== me?.name && by !== me?.id && now - at <= RECENT_MS);
  if (others.length === 0) return null;
  return (
    <span className="small quiet">Also in it: {others.map(([name, at]) => `${name}, ${ago(at, now)}`).join('; ')}</span>
  );
}

/** Ctrl+Z and Ctrl+Y (or Shift+Ctrl+Z) take the draft back and forth, except while text is being typed. */
function useUndoKeys(on: boolean): void {
  useEffect(() => {
    if (!on) return;
    const press = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented) return;
      const target = event.target as HTMLElement | null;
      if (target?.closest('input:not([type=checkbox]):not([readonly]), textarea, [contenteditable=true]')) return;
      const key = event.key.toLowerCase();
      const step = key === 'z' && !event.shiftKey ? 'undo' : key === 'y' || key === 'z' ? 'redo' : undefined;
      const { canUndo, canRedo } = draft.get();
      if (!step || (step === 'undo' ? !canUndo : !canRedo)) return;
      event.preventDefault();
      void draft[step]();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, [on]);
}
