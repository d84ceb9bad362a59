import type { Problem } from '@fillwright/core/errors';
import { useEffect, useId, useRef, useState } from 'react';
import { EntryProblem, Offers, offering, stepped } from './offers.tsx';
import { matching, type Option } from './suggest.ts';

export interface TextEntryProps {
  readonly label: string;
  /** The committed value as text. */
  readonly text: string;
  /** Takes what was typed; a problem keeps the typed text and is shown beside it. */
  readonly commit: (text: string) => Problem | undefined;
  /** Hears what is being typed before it is taken; undefined when it is given up. */
  readonly onTyping?: ((text: string | undefined) => void) | undefined;
  readonly options?: readonly Option[];
  readonly placeholder?: string | undefined;
  readonly describedBy?: string | undefined;
  readonly disabled?: boolean;
  readonly lines?: boolean;
  /** Empties the input once its text has been taken, as where things are added one by one. */
  readonly clears?: boolean;
  readonly type?: 'text' | 'password';
}

/**
 * One line (or several) of text that is kept on Enter and when it is left; Escape brings back what stood before. With options it offers
 * those that match, chosen by pointer, arrows or Enter.
 */
export function TextEntry(props: TextEntryProps) {
  const { label, text, commit, options, clears } = props;
  const id = useId();
  const [typed, setTyped] = useState<string>();
  const [problem, setProblem] = useState<Problem>();
  const [open, setOpen] = useState(false);
  const [at, setAt] = useState(-1);
  const input = useRef<HTMLInputElement & HTMLTextAreaElement>(null);
  const offered = open && options ? matching(options, typed ?? '') : [];

  // A value that changed from outside (undo, somebody else) replaces what is shown, but never what is being typed.
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the committed text that counts
  useEffect(() => {
    if (document.activeElement !== input.current) {
      setTyped(undefined);
      setProblem(undefined);
    }
  }, [text]);

  const take = (value: string) => {
    setOpen(false);
    setAt(-1);
    const wrong = commit(value);
    setProblem(wrong);
    setTyped(wrong ? value : undefined);
  };
  const leave = () => {
    setOpen(false);
    if (typed === undefined || (typed === text && !problem)) setTyped(undefined);
    else if (clears && typed.trim() === '') setTyped(undefined);
    else take(typed);
    props.onTyping?.(undefined);
  };
  const press = (event: React.KeyboardEvent) => {
    if (event.key === 'Enter' && !(props.lines && !event.ctrlKey)) {
      event.preventDefault();
      const chosen = offered[at] ?? (typed?.trim() && offered.length === 1 ? offered[0] : undefined);
      if (chosen) take(chosen.value);
      else if (typed !== undefined) take(typed);
    } else if (event.key === 'Escape' && (open || typed !== undefined)) {
      event.preventDefault();
      event.stopPropagation();
      setOpen(false);
      setTyped(undefined);
      setProblem(undefined);
      props.onTyping?.(undefined);
    } else if (options && (event.key === 'ArrowDown' || event.key === 'ArrowUp')) {
      event.preventDefault();
      setOpen(true);
      const count = matching(options, typed ?? '').length;
      if (count > 0) setAt(stepped(at, event.key, count));
    }
  };

  const shared = {
    className: 'input',
    value: typed ?? text,
    placeholder: props.placeholder,
    disabled: props.disabled,
    autoComplete: 'off',
    'aria-label': label,
    'aria-invalid': problem !== undefined,
    'aria-describedby': [problem && `${id}-problem`, props.describedBy].filter(Boolean).join(' ') || undefined,
    onChange: (e: React.ChangeEvent<HTMLInputElement | HTMLTextAreaElement>) => {
      setTyped(e.target.value);
      props.onTyping?.(e.target.value);
      setOpen(true);
      setAt(-1);
    },
    onBlur: leave,
    onKeyDown: press,
  };
  return (
    <div className="entry">
      {props.lines ? (
        <textarea ref={input} {...shared} />
      ) : options ? (
        <input ref={input} {...shared} {...offering(id, offered, at)} onClick={() => setOpen(true)} />
      ) : (
        <input ref={input} {...shared} type={props.type ?? 'text'} />
      )}
      <Offers {...{ id, label, offered, at, take }} />
      <EntryProblem {...{ id, problem }} className="entry-problem" />
    </div>
  );
}
