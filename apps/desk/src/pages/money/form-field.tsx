import type { InputHTMLAttributes, ReactNode } from 'react';

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

/** One labelled choice of the same forms. */
export function FormChoice(props: {
  label: string;
  value: string;
  onText: (text: string) => void;
  children: ReactNode;
}) {
  const { label, value, onText, children } = props;
  return (
    <label className="field">
      <span className="field-label">{label}</span>
      <select className="input" value={value} onChange={(e) => onText(e.target.value)}>
        {children}
      </select>
    </label>
  );
}
