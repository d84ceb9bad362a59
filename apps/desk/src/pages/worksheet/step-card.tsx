import type { WorksheetReply } from '@fillwright/wire';
import { useState } from 'react';
import { Mark } from '../../look/marks.tsx';
import { siteClock } from '../../show/site-time.ts';
import { smallPhoto } from './photo.ts';
import type { Result } from './standing.ts';

type Step = WorksheetReply['sheet']['steps'][number];

const STANDS = { good: ['good', 'In order'], bad: ['error', 'Not in order'], stands: ['note', 'May stand'] } as const;

/** One step: what to do, what must come of it, and one press for what did. */
export function StepCard(props: {
  step: Step;
  result: Result | undefined;
  photos: number;
  zone: string;
  shut: boolean;
  onSay: (verdict: 'good' | 'bad' | 'stands' | 'open', note: string) => void;
  onPhoto: (data: string) => void;
}) {
  const { step, result, photos, zone, shut, onSay, onPhoto } = props;
  const [note, setNote] = useState('');
  const [unread, setUnread] = useState(false);
  const stands = result && result.verdict !== 'open' ? STANDS[result.verdict] : undefined;
  return (
    <li className={`step ${result?.verdict ?? 'open'}`}>
      <div className="step-words">
        <div className="step-act" data-names>
          {step.act}
        </div>
        <div className="small" data-names>
          {step.expect}
        </div>
        {step.who && <div className="small step-who">By: {step.who}</div>}
        {result && stands && (
          <div className="small">
            <Mark is={stands[0]}>{stands[1]}</Mark>{' '}
            <span className="quiet">
              {result.by === 'journal' ? 'shown by the journal' : result.by}, {siteClock(result.at, zone)}
              {result.note && `: ${result.note}`}
              {!result.sent && '; not sent yet'}
            </span>
          </div>
        )}
        {!result && step.seen && (
          <div className="small quiet">Waits for {step.seen.by === 'proof' ? 'a proving run' : 'the journal'}.</div>
        )}
        {photos > 0 && <div className="small quiet">Photos: {photos}</div>}
        {unread && (
          <div className="small" role="alert">
            <Mark is="warning">That file is no picture this browser can read, or it stays too large.</Mark>
          </div>
        )}
      </div>
      {!shut && (
        <div className="step-presses">
          {!result || result.verdict === 'bad' ? (
            <button
              type="button"
              className={`button big ${step.seen ? '' : 'main'}`}
              aria-label={`In order: ${step.act}`}
              onClick={() => onSay('good', note)}
            >
              In order
            </button>
          ) : null}
          {!result && (
            <button
              type="button"
              className="button big"
              aria-label={`Not in order: ${step.act}`}
              onClick={() => onSay('bad', note)}
            >
              Not in order
            </button>
          )}
          {result?.verdict === 'bad' && (
            <>
              <label className="field">
                <span className="field-label">Why it may stand</span>
                <input className="input" maxLength={500} value={note} onChange={(e) => setNote(e.target.value)} />
              </label>
              <button
                type="button"
                className="button big"
                disabled={note.trim() === ''}
                aria-label={`May stand: ${step.act}`}
                onClick={() => onSay('stands', note.trim())}
              >
                May stand
              </button>
            </>
          )}
          {result && result.by !== 'journal' && (
            <button
              type="button"
              className="button plain"
              aria-label={`Take back: ${step.act}`}
              onClick={() => onSay('open', '')}
            >
              Take back
            </button>
          )}
          <label className="button plain step-photo">
            Photo
            <input
              type="file"
              accept="image/*"
              capture="environment"
              className="unseen"
              aria-label={`Photo: ${step.act}`}
              onChange={async (e) => {
                const file = e.target.files?.[0];
                e.target.value = '';
                if (!file) return;
                const data = await smallPhoto(file);
                setUnread(data === undefined);
                if (data !== undefined) onPhoto(data);
              }}
            />
          </label>
        </div>
      )}
    </li>
  );
}
