import type { Rollout } from '@fillwright/wire';
import { useDraft } from '../../data/draft.ts';
import { useAsk, useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { Heads } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import { hereMoment } from '../../show/site-time.ts';

/** The sites that are told first, and for how long each wave must run well; undefined: every site at once. */
export type WaveChoice = { readonly first: readonly string[]; readonly minutes: number } | undefined;

const USUAL_MINUTES = 60;

export function ChooseWaves({
  chosen,
  onChange,
  may,
}: {
  chosen: WaveChoice;
  onChange: (chosen: WaveChoice) => void;
  may: boolean;
}) {
  const { fleet } = useDraft();
  const sites = [...fleet.sites.values()];
  const [only] = sites;
  if (sites.length < 2 || !only) return null;
  return (
    <fieldset className="waves-choice stack" disabled={!may}>
      <legend className="field-label">To whom first</legend>
      <label className="row">
        <input type="radio" name="waves" checked={chosen === undefined} onChange={() => onChange(undefined)} />
        Every site at once
      </label>
      <label className="row">
        <input
          type="radio"
          name="waves"
          checked={chosen !== undefined}
          onChange={() => onChange({ first: [only.id], minutes: USUAL_MINUTES })}
        />
        In waves
      </label>
      {chosen && (
        <div className="stack">
          <fieldset className="waves-sites">
            <legend className="small">First wave</legend>
            {sites.map((s) => (
              <label key={s.id} className="row">
                <input
                  type="checkbox"
                  checked={chosen.first.includes(s.id)}
                  onChange={(e) =>
                    onChange({
                      ...chosen,
                      first: e.target.checked ? [...chosen.first, s.id] : chosen.first.filter((id) => id !== s.id),
                    })
                  }
                />
                {s.name}
              </label>
            ))}
          </fieldset>
          <label className="row">
            Next wave after
            <input
              className="input waves-minutes"
              type="number"
              min={1}
              max={10_080}
              value={chosen.minutes}
              onChange={(e) => onChange({ ...chosen, minutes: Math.max(1, Math.trunc(e.target.valueAsNumber || 1)) })}
            />
            minutes of running well
          </label>
          <p className="field-note small">
            It stops by itself where a site’s proof fails, a box falls back or is lost, or people are refused more than
            before.
          </p>
        </div>
      )}
    </fieldset>
  );
}

const MARKS = { going: 'note', paused: 'warning', stopped: 'error', ended: 'good' } as const;
const WORDS: Readonly<Record<Rollout['state'], string>> = {
  going: 'Going out',
  paused: 'Paused',
  stopped: 'Stopped',
  ended: 'Out',
};
const BUTTONS = [
  { deed: 'pause', label: 'Pause', when: ['going'] },
  { deed: 'go on', label: 'Go on', when: ['paused'] },
  { deed: 'next', label: 'Next wave now', when: ['going', 'paused'] },
  { deed: 'stop', label: 'Stop for good', when: ['going', 'paused'] },
] as const;

/** The newest release, where it goes or went out in waves: which wave is told, who runs it, and the means to hold it. */
export function Waves() {
  const rollouts = useAsk('rollouts', {});
  const steer = useDo('steerRollout');
  const may = useMay('editor');
  const r = rollouts.data?.[0];
  const last = Math.max(0, ...(r?.sites ?? []).map((s) => s.wave));
  if (rollouts.isError) return <ProblemNote problem={rollouts.error.problem} />;
  if (!r || last < 2) return null;
  return (
    <section className="panel stack" aria-labelledby="release-waves">
      <h2 id="release-waves">Release {r.release} in waves</h2>
      <div className="row" role="status">
        <Mark is={MARKS[r.state]}>{WORDS[r.state]}</Mark>
        <span>
          Wave {r.wave} of {last}, told {hereMoment(r.waveSince)}
          {r.state === 'going' && r.wave < last && `; the next after ${plural(r.minutes, 'minute')} of running well`}
        </span>
      </div>
      {r.why && <p>{r.why}</p>}
      <WaveTable rollout={r} />
      {steer.isError && <ProblemNote problem={steer.error.problem} />}
      {may && (
        <div className="row">
          {BUTTONS.filter((b) => (b.when as readonly string[]).includes(r.state)).map((b) => (
            <button
              key={b.deed}
              type="button"
              className="button"
              disabled={steer.isPending}
              onClick={() => steer.mutate({ params: { number: r.release }, body: { deed: b.deed } })}
            >
              {b.label}
            </button>
          ))}
        </div>
      )}
      {r.state === 'stopped' && (
        <p className="small quiet">
          Sites that run it go on with it, the others with what they have. Mend it and release again: that goes to every
          site you choose.
        </p>
      )}
    </section>
  );
}

function WaveTable({ rollout: r }: { rollout: Rollout }) {
  const { fleet } = useDraft();
  return (
    <div className="strip-scroll">
      <table className="table">
        <caption className="unseen">Sites by wave</caption>
        <Heads of={['Wave', 'Site', 'Runs it since']} />
        <tbody>
          {r.sites.map((s) => (
            <tr key={s.site}>
              <td>{s.wave}</td>
              <th scope="row">{fleet.sites.get(s.site)?.name ?? s.site}</th>
              <td className={s.ranSince === null ? 'quiet' : undefined}>
                {s.ranSince !== null ? hereMoment(s.ranSince) : s.wave > r.wave ? 'not told yet' : 'not yet'}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
