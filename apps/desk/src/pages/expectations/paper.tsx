import type { Expectation, Fleet } from '@fillwright/core/fleet';
import { sentenceWords, type Verdict, verdictWords } from '@fillwright/core/reach';
import { useToday } from '../../data/clock.ts';

interface PaperProps {
  readonly fleet: Fleet;
  readonly rows: readonly Expectation[];
  readonly verdicts: ReadonlyMap<string, Verdict> | undefined;
}

/** The list as a customer reads and signs it; on paper only. */
export function Paper({ fleet, rows, verdicts }: PaperProps) {
  const today = useToday();
  return (
    <section className="wish-paper" aria-label="The list to sign">
      <h1>What {fleet.settings.name} expects of its fuel sites</h1>
      <p>
        As of {today}. Each sentence was checked at every minute of the following 90 days against the configuration as
        it stands: who is known by which card, PIN and answers right, nothing drawn before, the site linked.
      </p>
      <ol>
        {rows.map((row) => {
          const verdict = verdicts?.get(row.id);
          return (
            <li key={row.id}>
              <strong>{sentenceWords(fleet, row)}</strong>
              {row.wish !== '' && <div>“{row.wish}”</div>}
              <div>{verdict ? verdictWords(fleet, verdict) : 'Not checked'}</div>
            </li>
          );
        })}
      </ol>
      <p>These sentences say what we want. Where one is marked as broken, it may stand so until it is mended.</p>
      <div className="wish-signatures">
        <div>For {fleet.settings.name}: name, signature</div>
        <div>Date</div>
        <div>For the contractor: name, signature</div>
        <div>Date</div>
      </div>
    </section>
  );
}
