/** A tank lying down as a bar: what the book says filled, what was measured as a line, safe fill and low level as ticks. */
export function LevelBar(props: {
  capacity: number;
  book: number;
  measured: number | null;
  safeFill: number;
  low: number;
  words: string;
}) {
  const { capacity, book, measured, safeFill, low, words } = props;
  const x = (v: number) => (capacity > 0 ? Math.max(0, Math.min(1, v / capacity)) * 200 : 0);
  return (
    <svg className="level-bar" viewBox="0 0 200 24" preserveAspectRatio="none" role="img" aria-label={words}>
      <rect className="whole" x="0.5" y="4" width="199" height="16" />
      <rect className="book" x="0.5" y="4" width={x(book)} height="16" />
      <path className="tick" d={`M${x((capacity / 100) * safeFill)} 1 v6 M${x(low)} 17 v6`} />
      {measured !== null && <path className="measured" d={`M${x(measured)} 1 v22`} />}
    </svg>
  );
}
