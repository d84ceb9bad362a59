import { type Fleet, unitOf } from '@fillwright/core/fleet';
import type { Here, WeekHere } from '@fillwright/core/reach';
import { formatDate, formatMinute } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import type React from 'react';
import { useId, useState } from 'react';
import { nameOf } from '../../data/where.ts';
import { Heads, offPaper, right } from '../../look/heads.tsx';
import { daysWords } from '../../reach/words.ts';
import { limitNumber, limitText } from '../../show/amounts.ts';
import { instantsOf, zoneKnown } from '../../show/site-time.ts';
import { firstMoment, type Shade, shadesOf, tierOf, timesOf } from '../../show/week-blocks.ts';
import { H, minuteAt, ROW, startOf, W, WeekFrame, WeekLines, x, y } from '../../show/week-frame.tsx';

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
  const [at, setAt] = useState<Shade>();
  const title = here.place.site === '' ? week.product : `${hosesWords(fleet, week.hoses)}: ${week.product}`;
  const shades = shadesOf(week.stretches);
  return (
    <section className="panel stack reach-week" aria-labelledby={id}>
      <h2 id={id}>
        <span data-names>{title}</span>{' '}
        <span className="small quiet reach-unit">up to, in {unitOf(fleet.settings)}, in one fill</span>
      </h2>
      <figure className="week-map">
        {/* biome-ignore lint/a11y/useSemanticElements: a drawing with buttons in it is no fieldset */}
        <svg viewBox={`0 0 ${W} ${H}`} role="group" aria-label={`${title}, over the week`}>
          <Patterns id={id} />
          <WeekFrame />
          {shades.map((shade) => (
            // biome-ignore lint/a11y/useSemanticElements: there is no button inside a drawing
            <g
              key={`${shade.room} ${shade.by}`}
              role="button"
              tabIndex={0}
              aria-label={`${saidOf(fleet, shade)}. Show the ${here.place.site === '' ? 'sites' : 'names'}`}
              onPointerEnter={() => setAt(shade)}
              onFocus={() => setAt(shade)}
              onClick={(e) => pick(minuteAt(e, shade.blocks))}
              onKeyDown={(e) => {
                if (e.key !== 'Enter' && e.key !== ' ') return;
                e.preventDefault();
                pick(startOf(shade.blocks));
              }}
            >
              <Parts {...{ id, shade, top, lit: shade === at }} />
            </g>
          ))}
          <WeekLines />
          {shades.map((shade) => (
            <Figures key={`${shade.room} ${shade.by}`} fleet={fleet} shade={shade} />
          ))}
        </svg>
        <figcaption className="small no-print">
          {at
            ? saidOf(fleet, at)
            : `Point at a stretch for the rule that decides; choose it for the ${here.place.site === '' ? 'sites' : 'names'} behind it.`}
        </figcaption>
      </figure>
      {children}
      <Behind {...{ fleet, here, week, shades, pick }} />
      <p className="small quiet">{datesSaid(here, week)}</p>
    </section>
  );
}

const saidOf = (fleet: Fleet, { room, by, blocks }: Shade): string =>
  `${timesOf(blocks)}: ${room === 0 ? 'nothing' : `up to ${limitText(fleet, room)}`}, by ${by}`;

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
  const moment = firstMoment(shade.blocks, week.days);
  const zone = zoneKnown(fleet.sites.get(here.place.site)?.zone ?? 'UTC');
  const at = moment && zone ? instantsOf(formatDate(moment.day), formatMinute(moment.minute), zone)?.[0] : undefined;
  const [card, card2] = here.cards;
  return {
    site: here.place.site,
    hose: week.hoses[0] ?? '',
    pin: 'right',
    ...(at === undefined ? {} : { at: String(at) }),
    ...(card === undefined ? {} : { card }),
    ...(card2 === undefined ? {} : { card2 }),
  };
}

function Parts(p: { id: string; shade: Shade; top: number; lit: boolean }) {
  const { room, blocks } = p.shade;
  const tier = room === 0 ? 0 : tierOf(room, p.top);
  return blocks.map((b) => (
    <g key={`${b.day} ${b.from}`} className={`week-block tier-${tier}${p.lit ? ' lit' : ''}`}>
      <rect x={x(b.from)} y={y(b.day)} width={x(b.to) - x(b.from)} height={ROW} />
      {tier > 0 && (
        <rect
          x={x(b.from)}
          y={y(b.day)}
          width={x(b.to) - x(b.from)}
          height={ROW}
          style={{ fill: `url(#${p.id}-${tier})` }}
        />
      )}
    </g>
  ));
}

const DIGIT = 7.2;

/** The limit on each part that has room for it, over the lines and under no pointer. */
function Figures({ fleet, shade }: { fleet: Fleet; shade: Shade }) {
  const text = shade.room === 0 ? 'nothing' : limitNumber(fleet, shade.room);
  const parts = shade.blocks.filter((b) => x(b.to) - x(b.from) >= text.length * DIGIT + 6);
  return parts.map((b) => (
    <text
      key={`${b.day} ${b.from}`}
      className={shade.room === 0 ? 'week-label' : 'week-figure'}
      x={(x(b.from) + x(b.to)) / 2}
      y={y(b.day) + ROW / 2 + 4.5}
      textAnchor="middle"
    >
      {text}
    </text>
  ));
}

/** Four shades that stay apart without colour: dots, lines, denser lines, a lattice. */
function Patterns({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={`${id}-1`} width="8" height="8" patternUnits="userSpaceOnUse">
        <circle className="week-dot" cx="2" cy="2" r="1" />
      </pattern>
      <pattern id={`${id}-2`} width="8" height="8" patternUnits="userSpaceOnUse">
        <path className="week-line" d="M-1 9 9 -1" />
      </pattern>
      <pattern id={`${id}-3`} width="5" height="5" patternUnits="userSpaceOnUse">
        <path className="week-line" d="M-1 6 6 -1" />
      </pattern>
      <pattern id={`${id}-4`} width="6" height="6" patternUnits="userSpaceOnUse">
        <path className="week-line" d="M-1 7 7 -1M-1 -1 7 7" />
      </pattern>
    </defs>
  );
}

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
                <td className="no-print">
                  {shade.room > 0 && (
                    <button type="button" className="button plain" onClick={() => pick(startOf(shade.blocks))}>
                      Who
                    </button>
                  )}
                </td>
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
