import type { ChangedStretch, ChangeKind } from '@fillwright/core/reach';
import type React from 'react';
import { useId, useState } from 'react';
import { Heads, offPaper, right } from '../../look/heads.tsx';
import type { Compared } from '../../reach/compared.ts';
import { countText } from '../../show/amounts.ts';
import { type Block, blocksOf, timesOf } from '../../show/week-blocks.ts';
import { Hatch, PickFirst, type WeekCell, WeekPicture } from '../../show/week-picture.tsx';
import { type Asked, Behind } from './behind.tsx';
import { KINDS, wordsOf } from './words.ts';

const GLYPHS: Readonly<Record<ChangeKind, string>> = { gained: '+', raised: '↑', lost: '−', lowered: '↓' };

/** Minutes of the week in which the same kinds of change lie. */
interface Like {
  readonly kinds: readonly ChangeKind[];
  readonly blocks: readonly Block[];
  readonly points: Readonly<Record<ChangeKind, number>>;
}

/** When a difference shows, by product; a product of which every minute says the same needs no picture. */
export function Weeks(props: { weeks: Compared['weeks']; sites: readonly [string, string] | undefined; asked: Asked }) {
  const { weeks, sites, asked } = props;
  const [cell, setCell] = useState<{ id: string; minute: number }>();
  const all = weeks.map(({ stretches, ...week }) => ({ ...week, stretches, likes: likesOf(stretches) }));
  const whole = all.filter(({ likes }) => likes.length === 1);
  return (
    <>
      {all
        .filter(({ likes }) => likes.length > 1)
        .map(({ id, product, stretches, likes }) => {
          const move = (minute: number | undefined) => setCell(minute === undefined ? undefined : { id, minute });
          return (
            <WeekOfChange key={id} {...{ product, likes, sites }} pick={move}>
              {cell?.id === id && (
                <Behind {...asked} {...{ stretches, sites, move }} product={id} minute={cell.minute} />
              )}
            </WeekOfChange>
          );
        })}
      {whole.length > 0 && (
        <section className="panel stack" aria-labelledby="compare-whole">
          <h2 id="compare-whole">The same at every minute of the week</h2>
          <ul className="compare-list">
            {whole.map(({ product, likes: [like] }) => (
              <li key={product}>
                {product}: {saidOf(like?.kinds ?? [], sites)}
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

/** What is gained is hatched upwards, what is lost downwards, both crossed; signs say the same, and a table. */
function WeekOfChange(props: {
  product: string;
  likes: readonly Like[];
  sites: readonly [string, string] | undefined;
  /** A minute of the week was chosen. */
  pick: (minute: number) => void;
  /** What stands below the picture: the names behind what was chosen. */
  children: React.ReactNode;
}) {
  const { product, likes, sites, pick, children } = props;
  const id = useId();
  return (
    <section className="panel stack compare-week" aria-labelledby={id}>
      <h2 id={id}>
        <span data-names>{product}</span> over the week
      </h2>
      <WeekPicture
        label={product}
        cells={likes.map((like) => cellOf(like, id, sites))}
        patterns={<Patterns id={id} />}
        pick={pick}
        caption={(words) => (
          <figcaption className="small compare-caption">
            <Key sites={sites} />
            <span className="no-print">
              {words ?? 'Point at a stretch to read it; choose it for the names behind it.'}
            </span>
          </figcaption>
        )}
      />
      {children}
      <details className="week-behind">
        <summary>The same as a table</summary>
        <table className="table">
          <Heads of={['When', 'What', right('Points more'), right('Points less'), offPaper('Names')]} />
          <tbody>
            {likes.map((like) => (
              <tr key={like.kinds.join()}>
                <td>{timesOf(like.blocks)}</td>
                <td>{saidOf(like.kinds, sites)}</td>
                <td className="number">{countText(like.points.gained + like.points.raised)}</td>
                <td className="number">{countText(like.points.lost + like.points.lowered)}</td>
                <td className="no-print">{like.kinds.length > 0 && <PickFirst blocks={like.blocks} pick={pick} />}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </section>
  );
}

/** Stretches by the kinds of change that they hold. */
export function likesOf(stretches: readonly ChangedStretch[]): Like[] {
  const likes = new Map<string, { kinds: ChangeKind[]; blocks: Block[]; points: Record<ChangeKind, number> }>();
  for (const s of stretches) {
    const kinds = KINDS.filter((kind) => s[kind] > 0);
    const key = kinds.join();
    let like = likes.get(key);
    if (!like) {
      like = { kinds, blocks: [], points: { gained: 0, lost: 0, raised: 0, lowered: 0 } };
      likes.set(key, like);
    }
    // Stretches that differ in their counts alone are one on the map.
    const [next, ...rest] = blocksOf(s);
    const last = like.blocks.at(-1);
    if (next && last && last.day === next.day && last.to === next.from)
      like.blocks.splice(-1, 1, { ...last, to: next.to });
    else if (next) like.blocks.push(next);
    like.blocks.push(...rest);
    for (const kind of KINDS) like.points[kind] += s[kind] * (s.to - s.from);
  }
  return [...likes.values()];
}

function saidOf(kinds: readonly ChangeKind[], sites: readonly [string, string] | undefined): string {
  if (kinds.length === 0) return sites ? 'alike' : 'nothing changes';
  const words = wordsOf(sites);
  const said = kinds.map((kind) => words[kind]);
  return said.length < 2 ? (said[0] ?? '') : `${said.slice(0, -1).join(', ')} and ${said.at(-1)}`;
}

/** Which way it is hatched. */
function toneOf(kinds: readonly ChangeKind[]): 'none' | 'more' | 'less' | 'both' {
  const more = kinds.includes('gained') || kinds.includes('raised');
  const less = kinds.includes('lost') || kinds.includes('lowered');
  return more && less ? 'both' : more ? 'more' : less ? 'less' : 'none';
}

function cellOf({ kinds, blocks }: Like, id: string, sites: readonly [string, string] | undefined): WeekCell {
  const tone = toneOf(kinds);
  return {
    ...{ blocks, says: saidOf(kinds, sites), shade: `compare-${tone}` },
    pattern: tone === 'none' ? null : `${id}-${tone}`,
    sign: kinds.map((kind) => GLYPHS[kind]).join(' '),
    shows: kinds.length === 0 ? null : 'the names',
  };
}

const Key = ({ sites }: { sites: readonly [string, string] | undefined }) => (
  <span className="compare-key">
    {KINDS.map((kind) => (
      <span key={kind}>
        <b>{GLYPHS[kind]}</b> {saidOf([kind], sites)}
      </span>
    ))}
  </span>
);

const Patterns = ({ id }: { id: string }) => (
  <>
    <Hatch id={`${id}-more`} side={7} path="M-1 8 8 -1" />
    <Hatch id={`${id}-less`} side={7} path="M-1 -1 8 8" />
    <Hatch id={`${id}-both`} side={7} path="M-1 8 8 -1M-1 -1 8 8" />
  </>
);
