import { useState } from 'react';
import { useAsk, useDo, useMay } from '../../data/index.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';

/** A driver's PIN can be set or taken away, never read. */
export function PinSection({ driver }: { driver: string }) {
  const set = useAsk('pinsSet', {}).data;
  const change = useDo('setPin');
  const mayEdit = useMay('editor');
  const [pin, setPin] = useState('');
  const has = set?.includes(driver);
  const put = (value: string | null) =>
    change.mutate({ params: { id: driver }, body: { pin: value } }, { onSuccess: () => setPin('') });
  return (
    <section>
      <h3>PIN</h3>
      <p>
        {set === undefined ? (
          <span className="quiet">Asking …</span>
        ) : has ? (
          <Mark is="good">A PIN is set</Mark>
        ) : (
          <Mark is="note">No PIN is set: where a site asks for one, this driver draws nothing</Mark>
        )}
      </p>
      {mayEdit && (
        <form
          className="row"
          onSubmit={(event) => {
            event.preventDefault();
            put(pin);
          }}
        >
          <label className="field pin-field">
            <span className="field-label">New PIN</span>
            <input
              className="input"
              type="password"
              inputMode="numeric"
              autoComplete="off"
              pattern="\d{4,8}"
              title="4 to 8 digits"
              required
              value={pin}
              onChange={(e) => setPin(e.target.value)}
            />
          </label>
          <button type="submit" className="button pin-button" disabled={change.isPending}>
            Set PIN
          </button>
          {has && (
            <button
              type="button"
              className="button plain pin-button"
              disabled={change.isPending}
              onClick={() => put(null)}
            >
              Take the PIN away
            </button>
          )}
        </form>
      )}
      <p className="small quiet">
        4 to 8 digits. It goes to each site under a lock of that site and cannot be read back.
      </p>
      {change.error && <ProblemNote problem={change.error.problem} />}
    </section>
  );
}
