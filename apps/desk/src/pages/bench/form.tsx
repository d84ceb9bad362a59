import type { PinState } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { useMemo } from 'react';
import { nameOf } from '../../data/where.ts';
import { byName, byNumber, Choice, hosesAt } from '../../field/choice.tsx';
import { type Option, option } from '../../field/suggest.ts';
import { TextEntry } from '../../field/text-entry.tsx';
import { Mark } from '../../look/marks.tsx';
import { momentOf, presented, questionsAsked, type Trial } from './trial.ts';
import { UsedFields } from './used-fields.tsx';

export const PIN_STATES: readonly [PinState, string][] = [
  ['notAsked', 'not keyed yet'],
  ['right', 'right'],
  ['wrong', 'wrong'],
  ['locked', 'locked after wrong tries'],
  ['notSet', 'not set at the site'],
];

/** Credentials as 'number, whose': a roster's worth, made once for a roster. */
function credentialOptions(fleet: Fleet): readonly Option[] {
  return [...fleet.credentials.values()].map((c) => {
    const whose = [
      c.driver === null ? '' : nameOf(fleet, 'drivers', c.driver),
      c.vehicle === null ? '' : nameOf(fleet, 'vehicles', c.vehicle),
    ]
      .filter(Boolean)
      .join(', ');
    const text = `${whose || 'nobody'}${c.stopped ? ' (stopped)' : ''}`;
    return option(c.number, text);
  });
}

/** Who stands where at which moment, and what they key. */
export function TrialForm({
  trial,
  fleet,
  sites,
  update,
}: {
  trial: Trial;
  fleet: Fleet;
  /** Where the list of sites comes from: what a site runs knows only itself. */
  sites: Fleet;
  update: (part: Partial<Trial>) => void;
}) {
  const { credentials } = fleet;
  // biome-ignore lint/correctness/useExhaustiveDependencies: names of holders matter less than the cost of a large roster
  const options = useMemo(() => credentialOptions(fleet), [credentials]);
  const who = presented(fleet, trial.credentials);
  const site = sites.sites.get(trial.site);
  const moment = momentOf(trial, sites);
  const hoses = hosesAt(fleet, trial.site);
  const goTo = (id: string) => {
    const first =
      [...fleet.hoses.values()].find((h) => h.site === id) ?? [...sites.hoses.values()].find((h) => h.site === id);
    update({ site: id, hose: first?.id ?? '' });
  };
  return (
    <section className="panel stack" aria-label="What is tried">
      <div className="bench-pair">
        <Choice label="Site" items={byName(sites.sites.values())} value={trial.site} choose={goTo} />
        <Choice
          label="Hose"
          items={hoses.length === 0 ? [['', 'no hose here']] : byNumber(fleet, hoses)}
          value={trial.hose}
          choose={(hose) => update({ hose })}
        />
      </div>
      <div className="bench-pair">
        {([0, 1] as const).map((i) => (
          <div className="field" key={i}>
            <span className="field-label" aria-hidden="true">
              {i === 0 ? 'Credential' : 'Second credential'}
            </span>
            <TextEntry
              label={i === 0 ? 'Credential' : 'Second credential'}
              text={trial.credentials[i]}
              options={options}
              placeholder={i === 0 ? 'number or name' : 'none'}
              commit={(text) => {
                update({
                  credentials: i === 0 ? [text.trim(), trial.credentials[1]] : [trial.credentials[0], text.trim()],
                });
                return undefined;
              }}
            />
          </div>
        ))}
      </div>
      {(who.driver || who.vehicle) && (
        <p className="small quiet">
          {[
            who.driver && `Driver ${nameOf(fleet, 'drivers', who.driver)}`,
            who.vehicle && `Vehicle ${nameOf(fleet, 'vehicles', who.vehicle)}`,
          ]
            .filter(Boolean)
            .join(' · ')}
        </p>
      )}
      <Choice label="PIN" items={PIN_STATES} value={trial.pin} choose={(pin) => update({ pin })} />
      {questionsAsked(fleet, trial.site, who).map((q) => (
        <label className="field" key={q.id}>
          <span className="field-label">{q.prompt || q.id}</span>
          <input
            className="input"
            value={trial.answers[q.id] ?? ''}
            placeholder="not answered yet"
            autoComplete="off"
            list={q.accepted.length > 0 ? `accepted-${q.id}` : undefined}
            onChange={(e) => update({ answers: { ...trial.answers, [q.id]: e.target.value } })}
          />
          {q.accepted.length > 0 && (
            <datalist id={`accepted-${q.id}`}>
              {q.accepted.map((a) => (
                <option key={a} value={a} />
              ))}
            </datalist>
          )}
        </label>
      ))}
      <div className="bench-pair">
        <label className="field">
          <span className="field-label">Date at the site</span>
          <input className="input" type="date" value={trial.date} onChange={(e) => update({ date: e.target.value })} />
        </label>
        <label className="field">
          <span className="field-label">Time at the site</span>
          <input className="input" type="time" value={trial.time} onChange={(e) => update({ time: e.target.value })} />
        </label>
      </div>
      <p className="small quiet">
        By the clock on the site’s wall: {site?.zone ?? 'UTC'}.{' '}
        {'note' in moment && moment.note !== undefined && <Mark is="note">{moment.note}</Mark>}
      </p>
      <details>
        <summary>Used so far, last readings, cut off</summary>
        <div className="stack bench-more">
          <label className="row">
            <input type="checkbox" checked={trial.cutOff} onChange={(e) => update({ cutOff: e.target.checked })} />
            The site is cut off from the office
          </label>
          <UsedFields fleet={fleet} who={who} trial={trial} onChange={update} />
        </div>
      </details>
    </section>
  );
}
