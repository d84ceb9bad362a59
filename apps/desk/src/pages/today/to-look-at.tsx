import { Link } from '@tanstack/react-router';
import { Mark, type Severity } from '../../look/marks.tsx';

export interface Noted {
  readonly key: string;
  /** Where on the page it is looked at. */
  readonly search: Readonly<Record<string, string>>;
  readonly words: string;
  /** When it was, or what comes next. */
  readonly below: string | undefined;
}

/** Something to look at on another page: how much there is, the way there, and each of what is named; nothing where nothing is. */
export function ToLookAt(props: {
  id: string;
  is: Severity;
  heading: string;
  page: '/tanks' | '/flags';
  way: string;
  noted: readonly Noted[];
}) {
  const { id, page, noted } = props;
  if (noted.length === 0) return null;
  return (
    <section className="panel stack" aria-labelledby={id}>
      <div className="spread">
        <h2 id={id}>
          <Mark is={props.is}>{props.heading}</Mark>
        </h2>
        <Link to={page} search={{}}>
          {props.way}
        </Link>
      </div>
      <ul className="today-flags">
        {noted.map(({ key, search, words, below }) => (
          <li key={key}>
            <Link to={page} search={search}>
              {words}
            </Link>
            {below && <div className="small quiet">{below}</div>}
          </li>
        ))}
      </ul>
    </section>
  );
}
