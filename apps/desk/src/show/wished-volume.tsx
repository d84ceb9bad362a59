import { problem } from '@fillwright/core/errors';
import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { parseVolume } from '@fillwright/core/units';
import { TextEntry } from '../field/text-entry.tsx';
import { volumeNumber } from './amounts.ts';

/** How much should have been let through at least, in the fleet's unit; nothing typed is 'anything'. */
export function WishedVolume(props: { fleet: Fleet; wanted: number; change: (wanted: number) => void }) {
  const { fleet, wanted, change } = props;
  const unit = unitOf(fleet.settings);
  return (
    <div className="field why-wished">
      <span className="field-label" aria-hidden="true">
        Wished volume ({unit})
      </span>
      <TextEntry
        label={`Wished volume (${unit})`}
        text={wanted === 0 ? '' : volumeNumber(fleet, wanted)}
        placeholder="any"
        commit={(text) => {
          const volume = text.trim() === '' ? 0 : parseVolume(text.replaceAll(',', ''), unit);
          if (volume === undefined || volume < 0)
            return problem('FW-201', { at: { field: 'wanted' }, expected: `a volume such as 40 (${unit})` });
          change(volume);
          return undefined;
        }}
      />
    </div>
  );
}
