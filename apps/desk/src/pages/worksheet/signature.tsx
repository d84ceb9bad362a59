import type { WorksheetReply } from '@fillwright/wire';
import { useState } from 'react';
import { siteMoment } from '../../show/site-time.ts';
import { SignaturePad } from './signature-pad.tsx';

/** The end of a worksheet: its signature, or what is still between it and one. */
export function Signature(props: {
  sheet: WorksheetReply;
  zone: string;
  /** Signed here, and the office does not have it yet. */
  onItsWay: boolean;
  may: boolean;
  /** Steps that are neither in order nor may stand. */
  toGo: number;
  ready: boolean;
  name: string;
  onSign: (signer: string, signature: string) => void;
}) {
  const { sheet, zone } = props;
  const [padOpen, setPadOpen] = useState(false);
  return (
    <section aria-label="Signature" className="stack">
      <h2>Signature</h2>
      {sheet.signedAt !== null && sheet.signature !== null ? (
        <>
          <svg className="signature-pad" viewBox="0 0 600 200" role="img" aria-label="The signature">
            <path className="signature-ink" d={sheet.signature} />
          </svg>
          <p>
            Signed by {sheet.signer}, {siteMoment(sheet.signedAt, zone)}. Nothing more is written into this sheet.
          </p>
        </>
      ) : props.onItsWay ? (
        <p>Signed on this tablet; the office does not have it yet.</p>
      ) : !props.may ? (
        <p className="quiet">Technicians may fill in and sign worksheets.</p>
      ) : !props.ready ? (
        <p className="quiet">
          It can be signed when every step is in order, or has a word why it may stand: {props.toGo} to go.
        </p>
      ) : padOpen ? (
        <SignaturePad name={props.name} onSign={props.onSign} />
      ) : (
        <button type="button" className="button main big" onClick={() => setPadOpen(true)}>
          Open the pad
        </button>
      )}
    </section>
  );
}
