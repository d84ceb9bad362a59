import { Link } from '@tanstack/react-router';
import { nameOf, placeOf, useDraft } from '../../data/index.ts';
import { RecordEditor } from '../../field/record-editor.tsx';
import { Touched } from '../../reach/touched.tsx';
import { StopCredential } from './stop-credential.tsx';

export function CredentialPanel({ id }: { id: string }) {
  const { fleet } = useDraft();
  const credential = fleet.credentials.get(id);
  if (!credential) return null;
  return (
    <>
      <RecordEditor table="credentials" id={id} />
      <Touched table="credentials" id={id} />
      <section>
        <h3>Who bears it</h3>
        {credential.driver === null && credential.vehicle === null && (
          <p className="quiet">Nobody yet: no site accepts it.</p>
        )}
        {credential.driver !== null && (
          <Link {...placeOf('drivers', credential.driver)}>{nameOf(fleet, 'drivers', credential.driver)}</Link>
        )}
        {credential.vehicle !== null && (
          <Link {...placeOf('vehicles', credential.vehicle)}>{nameOf(fleet, 'vehicles', credential.vehicle)}</Link>
        )}
      </section>
      <section>
        <h3>Lost or stolen</h3>
        <StopCredential credential={credential} />
      </section>
    </>
  );
}
