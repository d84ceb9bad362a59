import type React from 'react';
import { type Block, dayName } from './week-blocks.ts';
import './week.css';

const [LEFT, TOP, HOUR] = [44, 20, 30];
export const ROW = 26;
export const [W, H] = [LEFT + 24 * HOUR + 8, TOP + 7 * ROW + 2];
/** Where a minute of the day and a day of the week, Monday 0, are drawn. */
export const x = (minute: number): number => LEFT + (minute / 60) * HOUR;
export const y = (day: number): number => TOP + day * ROW;

/** The minute of the week under the pointer; below 0 where there is none. */
function minuteUnder(event: React.MouseEvent<SVGElement>): number {
  const box = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
  if (!box || box.width === 0) return -1;
  const minute = Math.floor(((((event.clientX - box.left) / box.width) * W - LEFT) / HOUR) * 60);
  const day = Math.floor((((event.clientY - box.top) / box.height) * H - TOP) / ROW);
  return minute < 0 || minute >= 1440 || day < 0 || day > 6 ? -1 : day * 1440 + minute;
}

/** Where the first of some stretches begins, as a minute of the week. */
export const startOf = (blocks: readonly Block[]): number => (blocks[0] ? blocks[0].day * 1440 + blocks[0].from : 0);

/** The minute of the week under the pointer, within the stretches that were chosen. */
export function minuteAt(event: React.MouseEvent<SVGElement>, blocks: readonly Block[]): number {
  const minute = minuteUnder(event);
  const inside = blocks.some((b) => b.day * 1440 + b.from <= minute && minute < b.day * 1440 + b.to);
  return inside ? minute : startOf(blocks);
}

/** Names of days and hours round a week of seven rows. */
export const WeekFrame = () => (
  <>
    {[0, 1, 2, 3, 4, 5, 6].map((day) => (
      <text key={day} className="week-label" x={LEFT - 8} y={y(day) + ROW / 2 + 4.5} textAnchor="end">
        {dayName(day)}
      </text>
    ))}
    {[0, 3, 6, 9, 12, 15, 18, 21, 24].map((hour) => (
      <text key={hour} className="week-label" x={x(hour * 60)} y={TOP - 6} textAnchor="middle">
        {hour}
      </text>
    ))}
  </>
);

/** Lines over the shades, so that hours can be read off; they take no pointer. */
export const WeekLines = () => (
  <g className="week-hours">
    {[0, 3, 6, 9, 12, 15, 18, 21, 24].map((hour) => (
      <path key={hour} d={`M${x(hour * 60)} ${TOP} v${7 * ROW}`} />
    ))}
    {[0, 1, 2, 3, 4, 5, 6, 7].map((day) => (
      <path key={day} d={`M${LEFT} ${y(day)} h${24 * HOUR}`} />
    ))}
  </g>
);
