import { formatMinute } from '@fillwright/core/units';
import { dayName } from './week-blocks.ts';

const DAYS = [0, 1, 2, 3, 4, 5, 6];

/** The minute of the week of which the names are shown, set by day and time; undefined closes them. */
export function WeekMinute({ minute, move }: { minute: number; move: (minute: number | undefined) => void }) {
  return (
    <div className="row no-print">
      <label className="row">
        <span className="field-label">Day</span>
        <select
          className="input"
          value={Math.floor(minute / 1440)}
          onChange={(e) => move(Number(e.target.value) * 1440 + (minute % 1440))}
        >
          {DAYS.map((d) => (
            <option key={d} value={d}>
              {dayName(d)}
            </option>
          ))}
        </select>
      </label>
      <label className="row">
        <span className="field-label">Time</span>
        <input
          className="input"
          type="time"
          value={formatMinute(minute % 1440)}
          onChange={(e) => {
            const [h, m] = e.target.value.split(':').map(Number);
            if (h !== undefined && m !== undefined) move(minute - (minute % 1440) + h * 60 + m);
          }}
        />
      </label>
      <button type="button" className="button plain" onClick={() => move(undefined)}>
        Close
      </button>
    </div>
  );
}
