import type { InputHTMLAttributes } from 'react';

/** One labelled input of the forms on this page; `wide` where it needs the room of two. */
export function FormField({
  label,
  wide = false,
  value,
  onText,
  ...input
}: {
  label: string;
  wide?: boolean;
  value: string;
  onText: (text: string) => void;
} & Omit<InputHTMLAttributes<HTMLInputElement>, 'value' | 'onChange' | 'className'>) {
  return (
    <label className={`field${wide ? ' money-wide' : ''}`}>
      <span className="field-label">{label}</span>
      <input className="input" required value={value} onChange={(e) => onText(e.target.value)} {...input} />
    </label>
  );
}
