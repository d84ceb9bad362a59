import type { FindingReply, Preview, Release } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { useDraft } from '../../data/draft.ts';
import { useAsk, useDo } from '../../data/hub.ts';
import { useLongAsk } from '../../data/long.ts';
import { useMay } from '../../data/me.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { countText, plural } from '../../show/amounts.ts';
import { Going } from '../../show/going.tsx';
import { SiteStrip } from '../../show/site-strip.tsx';
import { hereMoment } from '../../show/site-time.ts';
import { GAINED, type Gate, gateOf, type Stands, wordFor, wordsFor } from './gate.ts';
import { ChooseWaves, type WaveChoice, Waves } from './waves.tsx';
import { WhoGains } from './who-gains.tsx';
import './release.css';

/** From the draft to the sites: what changes, what stands against it, and where each release has arrived. */
export default function ReleasePage() {
  const preview = useAsk('releasePreview', {});
  return (
    <div className="page">
      <h1>Release</h1>
      <section className="stack" aria-labelledby="release-sites">
        <h2 id="release-sites">Sites</h2>
        <SiteStrip />
      </section>
      <Waves />
      {preview.isError && <ProblemNote problem={preview.error.problem} />}
      {preview.isPending && <p role="status">Comparing the draft with what was last released …</p>}
      {preview.data && <Next preview={preview.data} />}
      <Past />
    </div>
  );
}

function Next({ preview }: { preview: Preview }) {
  const { version, keeping } = useDraft();
  const may = useMay('editor');
  const [note, setNote] = useState('');
  const [words, setWords] = useState<Readonly<Record<string, string>>>({});
  const [waves, setWaves] = useState<WaveChoice>(undefined);
  const [confirming, setConfirming] = useState(false);
  const release = useDo('release');
  const asked = useLongAsk('releaseStands', {});
  const stands = asked.data;
  const gate = gateOf(preview, words, stands, { version, kept: keeping === 'kept', may });
  const send = () => {
    setConfirming(false);
    release.mutate(
      {
        body: {
          version: preview.version,
          note: note.trim(),
          words: wordsFor(gate, words),
          ...(waves ? { waves: { first: [...waves.first], minutes: waves.minutes } } : {}),
        },
      },
      {
        onSuccess: () => {
          setNote('');
          setWords({});
          setWaves(undefined);
        },
      },
    );
  };
  return (
    <>
      {release.data && (
        <div className="notice good" role="status">
          <Mark is="good">Release {release.data.number} is on its way</Mark>
          <span>A site runs it once it says so above; until then it goes on with what it has.</span>
        </div>
      )}
      {release.isError && <ProblemNote problem={release.error.problem} />}
      <div className="release-next">
        <section className="panel stack" aria-labelledby="release-changes">
          <h2 id="release-changes">What changes{preview.base === null ? '' : ` since release ${preview.base}`}</h2>
          {preview.changes.length === 0 ? (
            <p className="quiet">Nothing has changed.</p>
          ) : (
            <Changes lines={preview.changes} />
          )}
        </section>
        <section className="panel stack" aria-labelledby="release-gate">
          <div className="spread">
            <h2 id="release-gate">What stands against it</h2>
            <Going worked={asked.going} />
          </div>
          {asked.isError && <ProblemNote problem={asked.error.problem} />}
          <Against
            gate={gate}
            stands={stands}
            words={words}
            setWord={(id, word) => setWords({ ...words, [id]: word })}
            may={may}
          />
          <label className="field">
            <span className="field-label">Note</span>
            <textarea
              className="input"
              value={note}
              maxLength={2000}
              disabled={!may}
              onChange={(e) => setNote(e.target.value)}
            />
            <span className="field-note small">Why this release: whoever looks back reads it first.</span>
          </label>
          <ChooseWaves chosen={waves} onChange={setWaves} may={may} />
          <div className="row">
            <button
              type="button"
              className="button main"
              disabled={gate.stops !== undefined || release.isPending || waves?.first.length === 0}
              aria-describedby="release-stops"
              onClick={() => setConfirming(true)}
            >
              {waves ? 'Release to the first wave' : 'Release to every site'}
            </button>
            <span id="release-stops" className="small quiet" role="status">
              {release.isPending ? 'Freezing, signing and sending …' : gate.stops}
            </span>
          </div>
        </section>
      </div>
      <WhoGains since={preview.base} />
      {confirming && (
        <Confirm preview={preview} gate={gate} waves={waves} onYes={send} onNo={() => setConfirming(false)} />
      )}
    </>
  );
}

function Against({
  gate,
  stands,
  words,
  setWord,
  may,
}: {
  gate: Gate;
  stands: Stands | undefined;
  words: Readonly<Record<string, string>>;
  setWord: (id: string, word: string) => void;
  may: boolean;
}) {
  if (gate.errors.length === 0 && gate.wanted.length === 0)
    return (
      <p className="quiet">
        {stands
          ? 'Neither errors nor warnings, and nobody gains.'
          : 'Neither errors nor warnings; who gains is not known yet.'}
      </p>
    );
  const word = (id: string, about: string, hint: string) => (
    <input
      className="input"
      aria-label={`Word for: ${about}`}
      placeholder={hint}
      maxLength={500}
      disabled={!may}
      value={words[id] ?? ''}
      onChange={(e) => setWord(id, e.target.value)}
    />
  );
  return (
    <ul className="release-against">
      {gate.errors.map((f) => (
        <li key={f.id}>
          <Finding finding={f} />
        </li>
      ))}
      {gate.warnings.map((f) => (
        <li key={f.id}>
          <Finding finding={f} />
          {word(f.id, f.text, 'Why it may stand')}
        </li>
      ))}
      {stands?.broken.map((e) => (
        <li key={e.id}>
          <div>
            <Mark is="warning">Expectation broken</Mark>
            <div>{e.sentence}</div>
            <div className="small">
              {e.text}{' '}
              <Link to="/expectations" search={{ id: e.id }}>
                Look
              </Link>
            </div>
          </div>
          {word(wordFor(e.id), e.sentence, 'Why it may stand')}
        </li>
      ))}
      {stands && stands.gained.points !== '0' && (
        <li>
          <div>
            <Mark is="warning">Access is gained</Mark>
            <div>{gainedWords(stands)}</div>
            <div className="small">Who, where and by which rule stands below, under Gained.</div>
          </div>
          {word(GAINED, 'what is gained', 'That it is meant, and by whom it was agreed')}
        </li>
      )}
    </ul>
  );
}

const gainedWords = ({ gained }: Stands): string =>
  `${plural(gained.groups, 'group')}, ${countText(BigInt(gained.points))} points. The largest: ${gained.lines[0] ?? ''}.`;

const Finding = ({ finding }: { finding: FindingReply }) => (
  <div>
    <Mark is={finding.severity}>{finding.title}</Mark>
    <div>{finding.text}</div>
    <div className="small">
      {finding.mend}{' '}
      <Link to="/findings" search={{ id: finding.id }}>
        Look
      </Link>
    </div>
  </div>
);

const FIRST = 15;

function Changes({ lines }: { lines: readonly string[] }) {
  return (
    <>
      <ul className="release-lines">
        {lines.slice(0, FIRST).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {lines.length > FIRST && (
        <details>
          <summary>{lines.length - FIRST} more</summary>
          <ul className="release-lines">
            {lines.slice(FIRST).map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function Confirm({
  preview,
  gate,
  waves,
  onYes,
  onNo,
}: {
  preview: Preview;
  gate: Gate;
  waves: WaveChoice;
  onYes: () => void;
  onNo: () => void;
}) {
  return (
    <ModalOverlay className="veil" isOpen isDismissable onOpenChange={(open) => !open && onNo()}>
      <Modal className="dialog">
        <Dialog role="alertdialog" className="stack">
          <Heading slot="title" className="dialog-title">
            {waves ? 'Release to the first wave?' : 'Release to every site?'}
          </Heading>
          <p>
            {plural(preview.changes.length, 'change')} will be frozen under the next number, signed and sent to{' '}
            {waves ? plural(waves.first.length, 'site') : 'every site'}
            {gate.wanted.length > 0
              ? `, with your ${plural(gate.wanted.length, 'word')} for what stands against it`
              : ''}
            . A release is never changed afterwards; going back is a new release.
          </p>
          <p className="small quiet">
            Each site checks it, switches while no hose is busy and tells what it runs. Whoever gains or loses access
            does so from that moment.
          </p>
          <div className="row">
            <button type="button" className="button main" onClick={onYes}>
              Release
            </button>
            <button type="button" className="button" onClick={onNo}>
              Not yet
            </button>
          </div>
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

function Past() {
  const releases = useAsk('releases', {});
  if (releases.isError) return <ProblemNote problem={releases.error.problem} />;
  return (
    <section className="stack" aria-labelledby="release-past">
      <h2 id="release-past">Releases</h2>
      {releases.data?.length === 0 && <p className="quiet">Nothing has been released yet.</p>}
      {releases.data?.map((r) => (
        <One key={r.number} release={r} />
      ))}
    </section>
  );
}

/** What a release gave, as it was worked out when it was made. */
function Access({ access }: { access: NonNullable<Release['access']> }) {
  const lines = [...access.broken, ...access.gained];
  if (lines.length === 0) return <p className="quiet">Nobody gained by it, and it broke no expectation.</p>;
  return (
    <details>
      <summary>
        Gained: {plural(access.gained.length, 'group')} · Broken: {plural(access.broken.length, 'expectation')}
      </summary>
      <ul className="release-lines">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </details>
  );
}

function One({ release }: { release: Release }) {
  return (
    <details className="panel">
      <summary>
        <strong>Release {release.number}</strong>{' '}
        <span className="quiet">
          {hereMoment(release.at)}, {release.by}, {plural(release.changes.length, 'change')}
        </span>
        {release.note && <div>{release.note}</div>}
      </summary>
      <div className="stack release-detail">
        <Changes lines={release.changes} />
        {release.access && <Access access={release.access} />}
        {Object.entries(release.words).map(([id, word]) => (
          <p key={id}>
            <span className="small quiet">{id}</span> {word}
          </p>
        ))}
        <p className="small quiet">
          Digest (SHA-256) <span className="fixed release-digest">{release.digest}</span>
        </p>
      </div>
    </details>
  );
}
