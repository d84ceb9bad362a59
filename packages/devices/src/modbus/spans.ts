/** One request's worth of neighbouring addresses. */
export interface Span {
  readonly start: number;
  readonly length: number;
}

/** The most that one request may ask for (MODBUS Application Protocol 1.1b3, 6.1 to 6.4): 2,000 bits or 125 registers. */
export const MOST_BITS = 2_000;
export const MOST_REGISTERS = 125;

/**
 * As few spans as cover the pieces without an address that nobody asked for: many units answer those with an exception. A piece, such as
 * the two registers of a counter, is never cut: read in two requests it could be torn.
 */
export function spansOf(pieces: readonly Span[], most: number): Span[] {
  const sorted = [...pieces].sort((a, b) => a.start - b.start || b.length - a.length);
  const spans: { start: number; length: number }[] = [];
  for (const piece of sorted) {
    const last = spans.at(-1);
    const end = piece.start + piece.length;
    const touches = last !== undefined && piece.start <= last.start + last.length;
    if (touches && end - last.start <= most) last.length = Math.max(last.length, end - last.start);
    else spans.push({ start: piece.start, length: piece.length });
  }
  return spans;
}
