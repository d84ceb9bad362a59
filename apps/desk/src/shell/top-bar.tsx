import { useEffect } from 'react';
import { ago, useNow } from '../data/clock.ts';
import { draft, useDraftState } from '../data/draft.ts';
import { useChangers } from '../data/events.ts';
import { queryClient, useDo } from '../data/hub.ts';
import { useMay, useMe } from '../data/me.ts';
import { Mark } from '../look/marks.tsx';
import { type Theme, useTheme } from './theme.ts';

const THEMES: readonly [Theme, string][] = [
  ['system', 'As the system'],
  ['light', 'Light'],
  ['dark', 'Dark'],
];

/** Others count as being in the draft while they changed something in the last ten minutes. */
const RECENT_MS = 600_000;

export function TopBar() {
  const { fleet } = useDraftState();
  const me = useMe();
  const [theme, setTheme] = useTheme();
  const signOut = useDo('signOut');
  return (
    <header className="top no-print">
      <strong className="top-fleet">{fleet?.settings.name ?? me?.fleetName}</strong>
      <DraftLine />
      <label className="top-theme">
        <span className="unseen">Theme</span>
        <select className="input" value={theme} onChange={(e) => setTheme(e.target.value as Theme)}>
          {THEMES.map(([value, label]) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </select>
      </label>
      <span className="top-me" title={me?.email}>
        {me?.name}
      </span>
      <button
        type="button"
        className="button plain"
        onClick={() => signOut.mutate({}, { onSettled: () => queryClient.resetQueries() })}
      >
        Sign out
      </button>
    </header>
  );
}

function DraftLine() {
  const { version, canUndo, canRedo, keeping, waiting } = useDraftState();
  const mayEdit = useMay('editor');
  useUndoKeys(mayEdit);
  return (
    <div className="top-draft">
      <button
        type="button"
        className="button plain"
        disabled={!mayEdit || !canUndo}
        onClick={() => void draft.undo()}
        aria-keyshortcuts="Control+Z"
        title="Ctrl+Z"
      >
        Undo
      </button>
      <button
        type="button"
        className="button plain"
        disabled={!mayEdit || !canRedo}
        onClick={() => void draft.redo()}
        aria-keyshortcuts="Control+Y"
        title="Ctrl+Y"
      >
        Redo
      </button>
      <span className="small quiet" role="status">
        {keeping === 'unreachable' ? (
          <Mark is="warning">
            The office does not answer: {waiting.length} {waiting.length === 1 ? 'change waits' : 'changes wait'} in
            this window
          </Mark>
        ) : keeping === 'sending' ? (
          'Keeping …'
        ) : mayEdit ? (
          `Every change is kept · draft version ${version}`
        ) : (
          `You may look, not change · draft version ${version}`
        )}
      </span>
      <Others />
    </div>
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
