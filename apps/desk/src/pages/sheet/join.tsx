import { useDo, useMay } from '../../data/index.ts';
import { ProblemNote } from '../../look/problem-note.tsx';

/** A one-time code with which the box in the yard joins as this site; its keys are made on the box. */
export function JoinSection({ site }: { site: string }) {
  const code = useDo('joinCode');
  if (!useMay('technician')) return null;
  return (
    <section className="stack no-print">
      <h3>Box</h3>
      <p className="small quiet">
        A box joins once, with a code that holds for a short while. It runs what the next release sends it.
      </p>
      <div className="row">
        <button
          type="button"
          className="button"
          disabled={code.isPending}
          onClick={() => code.mutate({ params: { site } })}
        >
          Make a join code
        </button>
      </div>
      {code.data && (
        <p aria-live="polite">
          <strong>{code.data.code}</strong>, until {new Date(code.data.until).toLocaleTimeString()}. On the box:{' '}
          <code>
            npm run fillwright -- site --office {location.origin} --join {code.data.code}
          </code>
        </p>
      )}
      {code.error && <ProblemNote problem={code.error.problem} />}
    </section>
  );
}
