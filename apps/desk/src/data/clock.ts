import { useEffect, useState } from 'react';

/** The present moment in milliseconds UTC, renewed every `everyMs`. */
export function useNow(everyMs = 30_000): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  return now;
}

const two = (n: number) => String(n).padStart(2, '0');

/** A moment's date by this computer's wall clock, YYYY-MM-DD. */
export function day(ms: number): string {
  const d = new Date(ms);
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}

/** A moment by this computer's wall clock, 'YYYY-MM-DD HH:MM'. */
export function moment(ms: number): string {
  const d = new Date(ms);
  return `${day(ms)} ${two(d.getHours())}:${two(d.getMinutes())}`;
}

export const useToday = (): string => day(useNow(60_000));

/** How long ago, in words: 'just now', '5 min ago', '3 h ago', '2 days ago'. */
export function ago(ms: number, now: number): string {
  const minutes = Math.floor((now - ms) / 60_000);
  if (minutes < 1) return 'just now';
  if (minutes < 60) return `${minutes} min ago`;
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return `${hours} h ago`;
  return `${Math.floor(hours / 24)} days ago`;
}
