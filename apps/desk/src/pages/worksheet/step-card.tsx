import type { WorksheetReply } from '@fillwright/wire';
import { useState } from 'react';
import { LabelledInput } from '../../field/labelled-input.tsx';
import { Mark } from '../../look/marks.tsx';
import { siteClock } from '../../show/site-time.ts';
import { smallPhoto } from './photo.ts';
import type { Result } from './standing.ts';

type Step = WorksheetReply['sheet']['steps'][number];

const STANDS = { good: ['good', 'In order'], bad: ['error', 'Not in order'], stands: ['note', 'May stand'] } as const;

type Say = (verdict: 'good' | 'bad' | 'stands' | 'open', note: string) => void;

/** One step: what to do, what must come of it, and one press for what did. */
export function StepCard(props: {
  step: Step;
  result: Result | undefined;
  photos: number;
  zone: string;
  shut: boolean;
  onSay: Say;
  onPhoto: (data: string) => void;
}) {
  const { step, result, photos, zone, shut, onSay, onPhoto } = props;
  const [unread, setUnread] = useState(false);
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
        {result && <Said result={result} zone={zone} />}
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
          <Verdicts step={step} result={result} onSay={onSay} />
          <PhotoPress
            act={step.act}
            onPhoto={(data) => {
              setUnread(data === undefined);
              if (data !== undefined) onPhoto(data);
            }}
          />
        </div>
      )}
    </li>
  );
}

/** What came of a step, who says so and when. */
function Said({ result, zone }: { result: Result; zone: string }) {
  if (result.verdict === 'open') return null;
  const [is, words] = STANDS[result.verdict];
  return (
    <div className="small">
      <Mark is={is}>{words}</Mark>{' '}
      <span className="quiet">
        {result.by === 'journal' ? 'shown by the journal' : result.by}, {siteClock(result.at, zone)}
        {result.note && `: ${result.note}`}
        {!result.sent && '; not sent yet'}
      </span>
    </div>
  );
}

/** The presses that there are while the step stands as it does. */
function Verdicts({ step, result, onSay }: { step: Step; result: Result | undefined; onSay: Say }) {
  const [note, setNote] = useState('');
  const bad = result?.verdict === 'bad';
  return (
    <>
      {(!result || bad) && (
        <button
          type="button"
          className={`button big ${step.seen ? '' : 'main'}`}
          aria-label={`In order: ${step.act}`}
          onClick={() => onSay('good', note)}
        >
          In order
        </button>
      )}
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
      {bad && (
        <>
          <LabelledInput label="Why it may stand" maxLength={500} value={note} onText={setNote} />
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
    </>
  );
}

/** Takes a photo, made small; undefined for what cannot be read. */
function PhotoPress({ act, onPhoto }: { act: string; onPhoto: (data: string | undefined) => void }) {
  return (
    <label className="button plain step-photo">
      Photo
      <input
        type="file"
        accept="image/*"
        capture="environment"
        className="unseen"
        aria-label={`Photo: ${act}`}
        onChange={async (e) => {
          const file = e.target.files?.[0];
          e.target.value = '';
          if (file) onPhoto(await smallPhoto(file));
        }}
      />
    </label>
  );
}
