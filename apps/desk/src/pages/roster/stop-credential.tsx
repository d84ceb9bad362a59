import type { Credential } from '@fillwright/core/fleet';
import { useState } from 'react';
import { moment, useAsk, useDo, useMay } from '../../data/index.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';

const WORDS = { card: 'card', fob: 'fob', keyed: 'number' } as const;

/** The urgent way: every site hears of it at once, each one's answer is shown, and the hub marks it as stopped in the draft. */
export function StopCredential({ credential }: { credential: Credential }) {
  const mayEdit = useMay('editor');
  const stops = useAsk('stops', {}).data ?? [];
  const stop = useDo('stopCredential');
  const [asking, setAsking] = useState(false);
  const [reason, setReason] = useState('');
  const last = stops.filter((s) => s.credential === credential.id).sort((a, b) => b.at - a.at)[0];
  const word = WORDS[credential.kind];
  const send = () =>
    stop.mutate({ params: { id: credential.id }, body: { reason } }, { onSuccess: () => setAsking(false) });
  return (
    <div className="stop-credential">
      {credential.stopped && <Mark is="warning">Stopped in the draft</Mark>}
      {last && <StopState at={last.at} reason={last.reason} by={last.by} sites={last.sites} />}
      {mayEdit && !asking && !(last && credential.stopped) && (
        <button type="button" className="button stop" onClick={() => setAsking(true)}>
          Stop this {word} now
        </button>
      )}
      {asking && (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            send();
          }}
        >
          <p className="small">
            Every site refuses it as soon as it hears of it, without a release. A fill under way goes on.
          </p>
          <label className="field">
            <span className="field-label">Reason</span>
            <input
              className="input"
              required
              maxLength={500}
              placeholder="lost, stolen, left the fleet …"
              value={reason}
              onChange={(e) => setReason(e.target.value)}
            />
          </label>
          <div className="row">
            <button type="submit" className="button stop" disabled={stop.isPending}>
              Stop it at every site
            </button>
            <button type="button" className="button plain" onClick={() => setAsking(false)}>
              Not now
            </button>
          </div>
          {stop.error && <ProblemNote problem={stop.error.problem} />}
        </form>
      )}
    </div>
  );
}

interface StopStateProps {
  readonly at: number;
  readonly by: string;
  readonly reason: string;
  readonly sites: readonly { readonly site: string; readonly name: string; readonly gotAt: number | null }[];
}

function StopState({ at, by, reason, sites }: StopStateProps) {
  const have = sites.filter((s) => s.gotAt !== null).length;
  return (
    <div className="small">
      <div className="quiet">
        Sent {moment(at)} by {by}: {reason}
      </div>
      {sites.length === 0 ? (
        <Mark is="note">No site has joined yet</Mark>
      ) : (
        <Mark is={have === sites.length ? 'good' : 'warning'}>
          {have} of {sites.length} sites have it
        </Mark>
      )}
      <ul className="stop-sites">
        {sites.map((s) => (
          <li key={s.site}>
            {s.name}: {s.gotAt === null ? 'has not heard of it yet' : `since ${moment(s.gotAt)}`}
          </li>
        ))}
      </ul>
    </div>
  );
}
