import { type Ask, explain, nextStep, RULES } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { nameOf } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { volumeText } from '../../show/amounts.ts';
import { Steps } from '../../show/steps.tsx';
import type { Outcome } from './trial.ts';

function askWords(ask: Ask, fleet: Fleet): string {
  if (ask.ask === 'pin') return 'the driver’s PIN';
  if (ask.ask === 'question') return `“${nameOf(fleet, 'questions', ask.question)}”`;
  return ask.of === 'either' ? 'a credential of a driver or a vehicle' : `the credential of a ${ask.of}`;
}

/** What the terminal would say, and why. */
export function OutcomePanel({ outcome, fleet }: { outcome: Outcome; fleet: Fleet }) {
  return (
    <section className="panel stack bench-outcome" aria-label="Outcome">
      <div role="status">
        <Head outcome={outcome} fleet={fleet} />
      </div>
      {outcome.kind !== 'nothing' && <Steps lines={explain(outcome.decision, fleet)} />}
    </section>
  );
}

function Head({ outcome, fleet }: { outcome: Outcome; fleet: Fleet }) {
  switch (outcome.kind) {
    case 'nothing':
      return (
        <>
          <h2>Nothing presented yet</h2>
          <p>Choose a hose and present a credential: the decision and every rule that it looked at show here.</p>
        </>
      );
    case 'asks':
      return (
        <>
          <h2>
            <Mark is="note">Not decided yet</Mark>
          </h2>
          <p>The terminal asks for {askWords(outcome.ask, fleet)} next. So far nothing refuses.</p>
        </>
      );
    case 'approved': {
      const { decision } = outcome;
      if (!decision.approved) return null;
      return (
        <>
          <h2>
            <Mark is="good">Approved, up to {volumeText(fleet, decision.limit)}</Mark>
          </h2>
          <p>
            The limit is set by: {RULES[decision.by.rule].title.toLowerCase()}
            {decision.by.on && ` (${nameOf(fleet, decision.by.on.table as 'allowances', decision.by.on.id)})`}.
          </p>
          {decision.charged.length > 0 && (
            <p className="quiet">
              Counted against{' '}
              {decision.charged
                .map((c) => `“${nameOf(fleet, 'allowances', c.allowance)}” of ${holderName(fleet, c.holder)}`)
                .join(' and ')}
              .
            </p>
          )}
          {decision.notes.length > 0 && <Mark is="warning">An implausible answer is noted on the record</Mark>}
        </>
      );
    }
    case 'declined': {
      const said = explain(outcome.decision, fleet).find((l) => l.decides);
      return (
        <>
          <h2>
            <Mark is="error">Declined</Mark>
          </h2>
          <p>{said?.text}</p>
          <p>
            <strong>Next step:</strong> {nextStep(outcome.decision)}
          </p>
        </>
      );
    }
  }
}

/** 'driver:ada' to 'Ada Fenn'. */
export function holderName(fleet: Fleet, holder: string): string {
  const [kind, ...rest] = holder.split(':');
  return nameOf(fleet, kind === 'driver' ? 'drivers' : 'vehicles', rest.join(':'));
}
