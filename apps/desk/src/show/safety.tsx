import './show.css';

/** The usual cautions, wherever a page leads somebody to a dispenser, a tank or a panel. */
export function SafetyNote({ before }: { before: string }) {
  return (
    <aside className="safety small" aria-label="Safety">
      <strong>Before {before}:</strong> isolate and lock out, keep ignition sources away, bond and ground, have the
      spill kit at hand, mind the traffic. Nothing here replaces an emergency stop, an overfill device, a leak detector
      or a meter’s seal. Local codes and the authority having jurisdiction come first; leave work to licensed or
      registered people (electrician, tank contractor, weights-and-measures service agent).
    </aside>
  );
}
