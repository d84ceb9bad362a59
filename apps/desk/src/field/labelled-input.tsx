import type { InputHTMLAttributes } from 'react';
import { type Labelled, labelOf, wholeOf } from './choice.tsx';

/** One input under its label, whose text the form around it holds. */
export function LabelledInput({
  label,
  beside = false,
  whole = '',
  value,
  onText,
  ...input
}: Omit<Labelled, 'field'> & {
  value: string;
  onText: (text: string) => void;
} & Omit<InputHTMLAttributes<HTMLInputElement>, 'value' | 'onChange' | 'className'>) {
  return (
    <label className={wholeOf({ label, beside, whole })}>
      <span className={labelOf({ label, beside })}>{label}</span>
      <input className="input" value={value} onChange={(e) => onText(e.target.value)} {...input} />
    </label>
  );
}

/** How inputs of figures and of words are written in: a keyboard that suits, and nothing that the browser remembers. */
export const FIGURES = { inputMode: 'decimal', autoComplete: 'off' } as const;
export const WORDS = { inputMode: 'text', autoComplete: 'off' } as const;
