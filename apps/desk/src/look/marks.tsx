import type { ReactNode } from 'react';

export type Severity = 'error' | 'warning' | 'note' | 'good';

const SHAPES: Readonly<Record<Severity, ReactNode>> = {
  error: <path d="M5.2 1h5.6L15 5.2v5.6L10.8 15H5.2L1 10.8V5.2zM8 4.2v4.6M8 11.4v.4" />,
  warning: <path d="M8 1.8 15 14H1zM8 6.2v3.6M8 11.8v.3" />,
  note: <path d="M8 1.2a6.8 6.8 0 1 1 0 13.6A6.8 6.8 0 0 1 8 1.2zM8 7.4v4M8 4.6v.4" />,
  good: <path d="m2 8.6 4 4.2L14 3.4" />,
};

const WORDS: Readonly<Record<Severity, string>> = { error: 'error', warning: 'warning', note: 'note', good: 'good' };

/** A status: its own shape, its colour and always a word. `children` replaces the word; `bare` keeps it for screen readers only. */
export function Mark({ is, children, bare }: { is: Severity; children?: ReactNode; bare?: boolean }) {
  return (
    <span className={`mark ${is}`}>
      <svg
        viewBox="0 0 16 16"
        fill="none"
        stroke="currentColor"
        strokeWidth="1.6"
        strokeLinecap="round"
        strokeLinejoin="round"
        aria-hidden="true"
      >
        {SHAPES[is]}
      </svg>
      <span className={bare ? 'unseen' : undefined}>{children ?? WORDS[is]}</span>
    </span>
  );
}
