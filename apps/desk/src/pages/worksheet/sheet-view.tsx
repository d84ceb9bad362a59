import { PARTS, type StepPart } from '@fillwright/core/worksheet';
import type { WorksheetReply } from '@fillwright/wire';
import { useDraft } from '../../data/draft.ts';
import { useMay, useMe } from '../../data/me.ts';
import { nameOf } from '../../data/where.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { SheetBar } from './sheet-bar.tsx';
import { Signature } from './signature.tsx';
import { progressOf, standingOf } from './standing.ts';
import { StepCard } from './step-card.tsx';
import { type SheetHere, useSheet } from './use-sheet.ts';

/** One worksheet at the island. Everything that is pressed is kept in this browser first and sent when the link is there. */
export function SheetView({ id }: { id: string }) {
  const here = useSheet(id);
  if (here.sheet) return <Sheet id={id} here={here} sheet={here.sheet} />;
  return here.trouble ? <ProblemNote problem={here.trouble} /> : <p role="status">Asking for the worksheet …</p>;
}

function Sheet({ id, here, sheet }: { id: string; here: SheetHere; sheet: WorksheetReply }) {
  const { fleet } = useDraft();
  const me = useMe();
  const may = useMay('technician');
  const { waiting, add } = here;
  const zone = fleet.sites.get(sheet.site)?.zone ?? 'UTC';
  const standing = standingOf(sheet, waiting, me?.name ?? '');
  const progress = progressOf(sheet, standing);
  const onItsWay = waiting.some((w) => w.kind === 'signature');
  const shut = sheet.signedAt !== null || onItsWay || !may;
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
      <SheetBar id={id} here={here} progress={progress} />
      <SafetyNote before="work at a dispenser, tank or panel" />
      <AtHand sheet={sheet.sheet} zone={zone} />
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
      <Signature
        sheet={sheet}
        zone={zone}
        onItsWay={onItsWay}
        may={may}
        toGo={progress.all - progress.done}
        ready={progress.ready}
        name={me?.name ?? ''}
        onSign={(signer, signature) => void add({ kind: 'signature', signer, signature })}
      />
    </div>
  );
}

/** Which cards to bring, for when they hold, and what they cannot show now. */
function AtHand({ sheet, zone }: { sheet: WorksheetReply['sheet']; zone: string }) {
  return (
    <details>
      <summary>Cards to have at hand: {sheet.bring.length}</summary>
      <ul data-names>
        {sheet.bring.map((b) => (
          <li key={b}>{b}</li>
        ))}
      </ul>
      <p className="small quiet">
        Presentations hold for {siteMoment(sheet.at, zone)}, with nothing drawn that day.{' '}
        {sheet.fewest ? 'Fewer cannot show as much.' : 'Perhaps fewer would do: not everything was tried.'}
      </p>
      {sheet.notNow.length > 0 && (
        <ul className="small" data-names>
          {sheet.notNow.map((n) => (
            <li key={n}>{n} Try it on the bench.</li>
          ))}
        </ul>
      )}
    </details>
  );
}
