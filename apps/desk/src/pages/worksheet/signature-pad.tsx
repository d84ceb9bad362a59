import { type PointerEvent, useRef, useState } from 'react';
import { pathOf } from './standing.ts';

type Stroke = [number, number][];

/** A box of 600 by 200 to sign in, by finger, pen or mouse. */
export function SignaturePad({ name, onSign }: { name: string; onSign: (signer: string, path: string) => void }) {
  const [signer, setSigner] = useState(name);
  const [strokes, setStrokes] = useState<readonly Stroke[]>([]);
  const drawing = useRef(false);
  const place = (e: PointerEvent<SVGSVGElement>): [number, number] => {
    const box = e.currentTarget.getBoundingClientRect();
    return [((e.clientX - box.left) / box.width) * 600, ((e.clientY - box.top) / box.height) * 200];
  };
  return (
    <div className="stack">
      <label className="field">
        <span className="field-label">Signed by</span>
        <input className="input" maxLength={100} value={signer} onChange={(e) => setSigner(e.target.value)} />
      </label>
      <svg
        className="signature-pad"
        viewBox="0 0 600 200"
        role="img"
        aria-label={strokes.length > 0 ? 'The signature as drawn' : 'Sign here'}
        onPointerDown={(e) => {
          e.currentTarget.setPointerCapture(e.pointerId);
          drawing.current = true;
          const p = place(e);
          setStrokes((s) => [...s, [p]]);
        }}
        onPointerMove={(e) => {
          if (!drawing.current) return;
          const p = place(e);
          setStrokes((s) => [...s.slice(0, -1), [...(s.at(-1) ?? []), p]]);
        }}
        onPointerUp={() => {
          drawing.current = false;
        }}
      >
        <path className="signature-line" d="M40 160 H560" />
        <path className="signature-ink" d={pathOf(strokes)} />
      </svg>
      <div className="row">
        <button
          type="button"
          className="button main big"
          disabled={strokes.length === 0 || signer.trim() === ''}
          onClick={() => onSign(signer.trim(), pathOf(strokes))}
        >
          Sign
        </button>
        <button type="button" className="button big" disabled={strokes.length === 0} onClick={() => setStrokes([])}>
          Wipe
        </button>
      </div>
    </div>
  );
}
