import { type Fleet, unitOf } from '@fillwright/core/fleet';
import type { Here, WeekHere } from '@fillwright/core/reach';
import { Link } from '@tanstack/react-router';
import type React from 'react';
import { useId } from 'react';
import { nameOf } from '../../data/where.ts';
import { Heads, offPaper, right } from '../../look/heads.tsx';
import { benchSearch } from '../../reach/bench-search.ts';
import { daysWords } from '../../reach/words.ts';
import { limitNumber, limitText } from '../../show/amounts.ts';
import { firstMoment, type Shade, shadesOf, tierOf, timesOf } from '../../show/week-blocks.ts';
import { Hatch, PickFirst, type WeekCell, WeekPicture } from '../../show/week-picture.tsx';

interface WeekMapProps {
  readonly fleet: Fleet;
  readonly here: Here;
  readonly week: WeekHere;
  /** The highest limit on the page, so that equal shades mean equal limits on every map of it. */
  readonly top: number;
  /** A minute of the week was chosen. */
  readonly pick: (minute: number) => void;
  readonly children?: React.ReactNode;
}

/** 'hose 1, hose 2' of what a map shows. */
export const hosesWords = (fleet: Fleet, ids: readonly string[]): string =>
  ids
    .map((id) => nameOf(fleet, 'hoses', id))
    .join(', ')
    .replace(/^h/, 'H');

/** What may be drawn at each minute of the week: seven rows of 24 hours, limits as steps of grey with their figures, and all of it as a table. */
export function WeekMap({ fleet, here, week, top, pick, children }: WeekMapProps) {
  const id = useId();
  const title = here.place.site === '' ? week.product : `${hosesWords(fleet, week.hoses)}: ${week.product}`;
  const behind = here.place.site === '' ? 'sites' : 'names';
  const shades = shadesOf(week.stretches);
  return (
    <section className="panel stack reach-week" aria-labelledby={id}>
      <h2 id={id}>
        <span data-names>{title}</span>{' '}
        <span className="small quiet reach-unit">up to, in {unitOf(fleet.settings)}, in one fill</span>
      </h2>
      <WeekPicture
        label={title}
        cells={shades.map((shade) => cellOf(fleet, shade, top, id, behind))}
        patterns={<Patterns id={id} />}
        pick={pick}
        caption={(words) => (
          <figcaption className="small no-print">
            {words ?? `Point at a stretch for the rule that decides; choose it for the ${behind} behind it.`}
          </figcaption>
        )}
      />
      {children}
      <Behind {...{ fleet, here, week, shades, pick }} />
      <p className="small quiet">{datesSaid(here, week)}</p>
    </section>
  );
}

function cellOf(fleet: Fleet, { room, by, blocks }: Shade, top: number, id: string, behind: string): WeekCell {
  const tier = room === 0 ? 0 : tierOf(room, top);
  return {
    blocks,
    says: `${room === 0 ? 'nothing' : `up to ${limitText(fleet, room)}`}, by ${by}`,
    shade: `tier-${tier}`,
    pattern: tier === 0 ? null : `${id}-${tier}`,
    sign: room === 0 ? 'nothing' : limitNumber(fleet, room),
    quiet: room === 0,
    shows: `the ${behind}`,
  };
}

function datesSaid({ horizon, closed }: Here, { dates }: WeekHere): string {
  const said =
    dates.join() === horizon.join()
      ? 'Every date of people and credentials allows the whole of the coming year.'
      : `By the dates of people and credentials: ${daysWords(dates)}.`;
  return closed.length === 0 ? said : `${said} The site is closed on ${daysWords(closed)}.`;
}

/** The bench with these people, this hose and the first moment of the shade filled in. */
function benchOf(fleet: Fleet, here: Here, week: WeekHere, shade: Shade): Record<string, string> | undefined {
  if (here.cards.length === 0 || here.place.site === '') return undefined;
  const { site } = here.place;
  return benchSearch({
    ...{ site, hose: week.hoses[0] ?? '', zone: fleet.sites.get(site)?.zone, cards: here.cards },
    moment: firstMoment(shade.blocks, week.days),
  });
}

/** Four shades that stay apart without colour: dots, lines, denser lines, a lattice. */
const Patterns = ({ id }: { id: string }) => (
  <>
    <pattern id={`${id}-1`} width="8" height="8" patternUnits="userSpaceOnUse">
      <circle className="week-dot" cx="2" cy="2" r="1" />
    </pattern>
    <Hatch id={`${id}-2`} side={8} path="M-1 9 9 -1" />
    <Hatch id={`${id}-3`} side={5} path="M-1 6 6 -1" />
    <Hatch id={`${id}-4`} side={6} path="M-1 7 7 -1M-1 -1 7 7" />
  </>
);

function Behind({ fleet, here, week, shades, pick }: Omit<WeekMapProps, 'top'> & { shades: readonly Shade[] }) {
  return (
    <details className="week-behind">
      <summary>The same as a table</summary>
      <table className="table">
        <Heads of={['When', right(`Up to (${unitOf(fleet.settings)})`), 'By', offPaper('Names'), offPaper('Bench')]} />
        <tbody>
          {shades.map((shade) => {
            const search = benchOf(fleet, here, week, shade);
            return (
              <tr key={`${shade.room} ${shade.by}`}>
                <td>{timesOf(shade.blocks)}</td>
                <td className="number">{shade.room === 0 ? 'nothing' : limitNumber(fleet, shade.room)}</td>
                <td>{shade.by}</td>
                <td className="no-print">{shade.room > 0 && <PickFirst blocks={shade.blocks} pick={pick} />}</td>
                <td className="no-print">
                  {search && (
                    <Link to="/bench" search={search}>
                      Try on the bench
                    </Link>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </details>
  );
}
