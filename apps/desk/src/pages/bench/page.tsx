import { compile } from '@fillwright/core/decide';
import { type Fleet, fromJson } from '@fillwright/core/fleet';
import { useDeferredValue, useMemo, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { UTC, wallOf, zoneKnown } from '../../show/site-time.ts';
import { PIN_STATES, TrialForm } from './form.tsx';
import { OutcomePanel } from './outcome.tsx';
import { credentialOf, momentOf, outcomeOf, requestOf, type Trial, usageOf } from './trial.ts';
import './bench.css';

type Search = Readonly<Record<string, string | undefined>>;

/** A link may say where, when and who: site, hose, at, card, card2, driver, vehicle, pin. */
function startingFrom(where: Search, fleet: Fleet, now: number): Trial {
  const site = where.site ?? fleet.hoses.get(where.hose ?? '')?.site ?? [...fleet.sites.keys()][0] ?? '';
  const hose = where.hose ?? [...fleet.hoses.values()].find((h) => h.site === site)?.id ?? '';
  const at = Number(where.at ?? now);
  const cards = [
    where.card ?? (where.driver ? credentialOf(fleet, 'driver', where.driver) : ''),
    where.card2 ?? (where.vehicle ? credentialOf(fleet, 'vehicle', where.vehicle) : ''),
  ] as const;
  const pin = PIN_STATES.find(([state]) => state === where.pin)?.[0] ?? 'notAsked';
  const wall = wallOf(Number.isSafeInteger(at) ? at : now, fleet.sites.get(site)?.zone ?? 'UTC');
  return { site, hose, credentials: cards, pin, answers: {}, ...wall, used: {}, readings: {}, cutOff: false };
}

export default function BenchPage() {
  const { fleet: draftFleet } = useDraft();
  const [where, change] = useWhere();
  const [trial, setTrial] = useState<Trial>(() => startingFrom(where, draftFleet, Date.now()));
  const running = where.against === 'running';
  const asked = useAsk('running', { params: { site: trial.site } }, { enabled: running && trial.site !== '' });
  const runs = useMemo(() => {
    const read = asked.data === undefined ? undefined : fromJson(asked.data.fleet);
    return read?.ok ? { fleet: read.value, which: asked.data?.which ?? '' } : undefined;
  }, [asked.data]);
  const fleet = running ? runs?.fleet : draftFleet;
  const update = (part: Partial<Trial>) => setTrial((old) => ({ ...old, ...part }));

  return (
    <div className="page">
      <div className="page-head">
        <h1>Bench</h1>
        <fieldset className="switch" aria-label="Try against">
          <button type="button" aria-pressed={!running} onClick={() => change({ against: undefined })}>
            The draft
          </button>
          <button type="button" aria-pressed={running} onClick={() => change({ against: 'running' })}>
            What the site runs
          </button>
        </fieldset>
      </div>
      <p className="quiet">
        Try a fill without fuel: no pump starts, nothing is counted. The decision is the one that the site’s box would
        come to.
      </p>
      {running && asked.isError && <ProblemNote problem={asked.error.problem} />}
      {running && asked.isPending && <p role="status">Asking what the site runs …</p>}
      {running && runs && (
        <p>
          <Mark is="note">
            Against {/^\d+$/.test(runs.which) ? `revision ${runs.which}` : `what it runs (${runs.which})`}, as the site
            reported it.
          </Mark>
        </p>
      )}
      <div className="bench-body">
        <TrialForm trial={trial} fleet={fleet ?? draftFleet} sites={draftFleet} update={update} />
        {fleet && <Result trial={trial} fleet={fleet} />}
      </div>
    </div>
  );
}

function Result({ trial, fleet }: { trial: Trial; fleet: Fleet }) {
  const later = useDeferredValue(fleet);
  const policy = useMemo(() => compile(later, (zone) => zoneKnown(zone) ?? UTC), [later]);
  const moment = momentOf(trial, later);
  if ('wrong' in moment)
    return (
      <section className="panel" aria-label="Outcome">
        <Mark is="warning">{moment.wrong}</Mark>
      </section>
    );
  return <OutcomePanel outcome={outcomeOf(policy, requestOf(trial, moment.at), usageOf(trial))} fleet={later} />;
}
