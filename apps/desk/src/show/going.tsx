/** Long work as a page sees it. */
export interface Going {
  readonly working: boolean;
  readonly progress: { readonly done: number; readonly of: number } | undefined;
  readonly stopped: boolean;
  readonly stop: () => void;
  readonly again: () => void;
}

/** How far long work is, with a way to stop it, and to begin it again once it was stopped. `quickly`: as a rule it is done at once, and nothing is shown until it says how far it is. `anew`: on the button that begins it again. */
export function Going(props: { worked: Going; what?: string; quickly?: boolean; anew?: string }) {
  const { worked, what = 'How much has been compared', quickly = false, anew = 'Compare' } = props;
  const { working, progress, stopped, stop, again } = worked;
  if (stopped)
    return (
      <button type="button" className="button no-print" onClick={again}>
        {anew}
      </button>
    );
  if (!working || (quickly && !progress)) return null;
  return (
    <div className="row no-print">
      <progress
        aria-label={what}
        max={100}
        {...(progress && { value: Math.floor((progress.done * 100) / Math.max(1, progress.of)) })}
      />
      <button type="button" className="button" onClick={stop}>
        Stop
      </button>
    </div>
  );
}
