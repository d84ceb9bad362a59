import type { ReactNode } from 'react';
import { useEffect } from 'react';
import { moment } from '../data/clock.ts';
import { draft, useDraftState } from '../data/draft.ts';
import { useEvents } from '../data/events.ts';
import { useAsk } from '../data/hub.ts';
import { Mark } from '../look/marks.tsx';
import { ProblemNote } from '../look/problem-note.tsx';
import { useKeptSince } from '../offline/line.ts';
import { ClashDialog } from './clash.tsx';
import { FirstRun } from './first-run.tsx';
import { Navigation } from './navigation.tsx';
import { SignIn } from './sign-in.tsx';
import { TopBar } from './top-bar.tsx';

/** What stands around every page; who is not signed in sees the way in, at the same address. */
export function Frame({ children }: { children: ReactNode }) {
  const office = useAsk('office', {});
  const me = useAsk('me', {}, { enabled: office.data?.hasOwner === true });
  // Who was let in stays in while the office is not heard: only its own 'no' sends them out, for what they do offline must not be lost.
  const sentOut = me.isError && me.error.status === 401;
  const signedIn = me.data !== undefined && !sentOut;
  useEvents(signedIn);
  if (office.isPending || (office.data?.hasOwner && me.isPending)) return <Waiting words="Asking the office …" />;
  if ((office.isError && !office.data) || (me.isError && !sentOut && !me.data)) {
    const failed = office.error ?? me.error;
    return (
      <main className="alone">
        {failed && (
          <ProblemNote problem={failed.problem}>
            <button type="button" className="button" onClick={() => void office.refetch().then(() => me.refetch())}>
              Try again
            </button>
          </ProblemNote>
        )}
      </main>
    );
  }
  if (!office.data?.hasOwner) return <FirstRun />;
  if (!signedIn) return <SignIn />;
  return <Desk fleetId={me.data.fleet}>{children}</Desk>;
}

function Desk({ fleetId, children }: { fleetId: string; children: ReactNode }) {
  const { fleet, trouble, waiting } = useDraftState();
  // biome-ignore lint/correctness/useExhaustiveDependencies: another fleet is another draft
  useEffect(() => {
    void draft.read();
    return draft.forget;
  }, [fleetId]);
  const unsent = waiting.length > 0;
  useEffect(() => {
    if (!unsent) return;
    const warn = (event: BeforeUnloadEvent) => event.preventDefault();
    addEventListener('beforeunload', warn);
    return () => removeEventListener('beforeunload', warn);
  }, [unsent]);
  return (
    <div className="frame">
      <a className="skip no-print" href="#page">
        Skip to the page
      </a>
      <TopBar />
      <Navigation />
      <main id="page" className="main" tabIndex={-1}>
        <Unheard />
        {trouble && (
          <div className="main-notice no-print">
            <ProblemNote problem={trouble}>
              <button type="button" className="button" onClick={() => (fleet ? draft.dismiss() : void draft.read())}>
                {fleet ? 'Understood' : 'Try again'}
              </button>
            </ProblemNote>
          </div>
        )}
        {fleet ? children : !trouble && <Waiting words="Reading the draft …" />}
      </main>
      <ClashDialog />
    </div>
  );
}

/** What is shown is what was kept: said on every page, for nothing else there may look like news. */
function Unheard() {
  const since = useKeptSince();
  if (since === undefined) return null;
  return (
    <div className="main-notice notice" role="status">
      <Mark is="warning">
        The office is not heard. What you see is of {moment(since)}; worksheets go on and are sent later, the rest waits
        for the line.
      </Mark>
    </div>
  );
}

function Waiting({ words }: { words: string }) {
  return (
    <div className="waiting quiet" role="status">
      {words}
    </div>
  );
}
