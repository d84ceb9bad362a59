import { PARTS, type StepPart } from '@fillwright/core/worksheet';
import { urlOf, type WorksheetReply } from '@fillwright/wire';
import { useCallback, useEffect, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useMay, useMe } from '../../data/me.ts';
import { nameOf } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import { SafetyNote } from '../../show/safety.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { dropWaiting, keepSheet, keepWaiting, keptSheet, sendWaiting, type Waiting, waitingOf } from './outbox.ts';
import { SignaturePad } from './signature-pad.tsx';
import { progressOf, standingOf } from './standing.ts';
import { StepCard } from './step-card.tsx';

/** Between two tries to send, while something waits. */
const AGAIN_MS = 10_000;

type NewWaiting = Waiting extends infer W ? (W extends Waiting ? Omit<W, 'id' | 'worksheet' | 'at'> : never) : never;

/** One worksheet at the island. Everything that is pressed is kept in this browser first and sent when the link is there. */
export function SheetView({ id }: { id: string }) {
  const { fleet } = useDraft();
  const me = useMe();
  const may = useMay('technician');
  const asked = useAsk('worksheet', { params: { id } });
  const [kept, setKept] = useState<WorksheetReply>();
  const [waiting, setWaiting] = useState<readonly Waiting[]>([]);
  const [unlinked, setUnlinked] = useState(false);
  const [refused, setRefused] = useState<ProblemLike>();
  const [unkept, setUnkept] = useState(false);
  const [padOpen, setPadOpen] = useState(false);

  const look = useCallback(async () => setWaiting(await waitingOf(id)), [id]);
  const send = useCallback(async () => {
    const sent = await sendWaiting(id);
    if (sent.sheet) setKept(sent.sheet);
    setUnlinked(sent.unlinked);
    setRefused(sent.refused);
    await look();
  }, [id, look]);

  useEffect(() => {
    void keptSheet(id).then((sheet) => sheet && setKept((now) => now ?? sheet));
    void look().then(send);
  }, [id, look, send]);
  useEffect(() => {
    if (!asked.data) return;
    setKept(asked.data);
    void keepSheet(asked.data);
  }, [asked.data]);
  const some = waiting.length > 0 && !refused;
  useEffect(() => {
    if (!some) return;
    const timer = setInterval(() => void send(), AGAIN_MS);
    const now = () => void send();
    window.addEventListener('online', now);
    return () => {
      clearInterval(timer);
      window.removeEventListener('online', now);
    };
  }, [some, send]);

  const sheet = kept;
  if (!sheet)
    return asked.isError ? (
      <ProblemNote problem={asked.error.problem} />
    ) : (
      <p role="status">Asking for the worksheet …</p>
    );

  const add = async (what: NewWaiting) => {
    const one = { ...what, id: crypto.randomUUID(), worksheet: id, at: Date.now() } as Waiting;
    try {
      await keepWaiting(one);
    } catch {
      // Said in words below: what cannot be kept must not look kept.
      setUnkept(true);
      return;
    }
    await look();
    await send();
  };
  const zone = fleet.sites.get(sheet.site)?.zone ?? 'UTC';
  const standing = standingOf(sheet, waiting, me?.name ?? '');
  const progress = progressOf(sheet, standing);
  const signing = waiting.find((w) => w.kind === 'signature');
  const shut = sheet.signedAt !== null || signing !== undefined || !may;
  const photos = (step: string) =>
    sheet.photos.filter((p) => p.step === step).length +
    waiting.filter((w) => w.kind === 'photo' && w.step === step).length;
  return (
    <div className="stack worksheet">
      <h1>Worksheet</h1>
      <p data-names>
        <strong>{nameOf(fleet, 'sites', sheet.site)}</strong>, release {sheet.release}, made{' '}
        {siteMoment(sheet.madeAt, zone)} by {sheet.madeBy}
      </p>
      <div className="worksheet-bar">
        <progress value={progress.done} max={progress.all} aria-label="Steps in order" />
        <span role="status">
          {progress.done} of {progress.all} in order, {progress.journal} of them shown by the journal
          {progress.bad > 0 && (
            <>
              {' '}
              <Mark is="error">{progress.bad} not in order</Mark>
            </>
          )}
        </span>
        <span role="status">
          {waiting.length === 0 ? (
            <Mark is="good">everything is sent</Mark>
          ) : (
            <Mark is="warning">
              {plural(waiting.length, 'thing')} not sent yet
              {unlinked ? ': no link to the office; kept on this tablet' : ''}
            </Mark>
          )}
        </span>
        <a className="button" href={urlOf('worksheetPaper', { params: { id } })} download>
          PDF
        </a>
      </div>
      {unkept && (
        <div className="notice error" role="alert">
          <Mark is="error">This browser cannot keep anything: nothing pressed here counts. Use another browser.</Mark>
        </div>
      )}
      {refused && (
        <ProblemNote problem={refused}>
          <button type="button" className="button" onClick={() => void send()}>
            Send again
          </button>
          <button
            type="button"
            className="button"
            onClick={async () => {
              for (const w of waiting) await dropWaiting(w.id);
              setRefused(undefined);
              await look();
            }}
          >
            Drop what was not sent
          </button>
        </ProblemNote>
      )}
      <SafetyNote before="work at a dispenser, tank or panel" />
      <details>
        <summary>Cards to have at hand: {sheet.sheet.bring.length}</summary>
        <ul data-names>
          {sheet.sheet.bring.map((b) => (
            <li key={b}>{b}</li>
          ))}
        </ul>
        <p className="small quiet">
          Presentations hold for {siteMoment(sheet.sheet.at, zone)}, with nothing drawn that day.{' '}
          {sheet.sheet.fewest ? 'Fewer cannot show as much.' : 'Perhaps fewer would do: not everything was tried.'}
        </p>
        {sheet.sheet.notNow.length > 0 && (
          <ul className="small" data-names>
            {sheet.sheet.notNow.map((n) => (
              <li key={n}>{n} Try it on the bench.</li>
            ))}
          </ul>
        )}
      </details>
      {(Object.keys(PARTS) as StepPart[]).map((part) => {
        const steps = sheet.sheet.steps.filter((s) => s.part === part);
        if (steps.length === 0) return null;
        return (
          <section key={part} aria-label={PARTS[part]}>
            <h2>{PARTS[part]}</h2>
            <ul className="steps-list">
              {steps.map((s) => (
                <StepCard
                  key={s.id}
                  step={s}
                  result={standing.get(s.id)}
                  photos={photos(s.id)}
                  zone={zone}
                  shut={shut}
                  onSay={(verdict, note) => void add({ kind: 'result', step: s.id, verdict, note })}
                  onPhoto={(data) => void add({ kind: 'photo', step: s.id, data })}
                />
              ))}
            </ul>
          </section>
        );
      })}
      <section aria-label="Signature" className="stack">
        <h2>Signature</h2>
        {sheet.signedAt !== null && sheet.signature !== null ? (
          <>
            <svg className="signature-pad" viewBox="0 0 600 200" role="img" aria-label="The signature">
              <path className="signature-ink" d={sheet.signature} />
            </svg>
            <p>
              Signed by {sheet.signer}, {siteMoment(sheet.signedAt, zone)}. Nothing more is written into this sheet.
            </p>
          </>
        ) : signing ? (
          <p>Signed on this tablet; the office does not have it yet.</p>
        ) : !may ? (
          <p className="quiet">Technicians may fill in and sign worksheets.</p>
        ) : !progress.ready ? (
          <p className="quiet">
            It can be signed when every step is in order, or has a word why it may stand: {progress.all - progress.done}{' '}
            to go.
          </p>
        ) : padOpen ? (
          <SignaturePad
            name={me?.name ?? ''}
            onSign={(signer, signature) => void add({ kind: 'signature', signer, signature })}
          />
        ) : (
          <button type="button" className="button main big" onClick={() => setPadOpen(true)}>
            Open the pad
          </button>
        )}
      </section>
    </div>
  );
}
