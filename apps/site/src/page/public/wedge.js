// A card reader that types like a keyboard: a burst of keys faster than any hand, ended by Enter, is a card. Its characters are held
// back until it is known what they are, so that a number is never shown.

/** Hands leave more than this between two keys, readers less: common practice, no source. */
const GAP_MS = 70;
/** Once it can only be a reader, a busy machine may take longer between two of its keys. */
const BUSY_MS = 300;
/** A burst of fewer characters is a quick hand. */
const LEAST = 4;
const MOST = 64;

/**
 * `later(ms, call)` gives what calls it off; `card(text)` gets a whole burst; `keys(list)` gets what a hand keyed, in order. What came as a
 * burst and was not ended is half a card: it is dropped.
 */
export function openWedge({ later, card, keys }) {
  let held = [];
  let last = Number.NEGATIVE_INFINITY;
  let calm = true;
  let callOff = () => {};
  const settle = () => {
    const was = held;
    held = [];
    if (was.length < LEAST && was[0]?.key !== ';') keys(was);
  };
  return {
    /** One printable character or 'Enter', and when it came, ms. */
    press(key, context, at) {
      callOff();
      // On a busy machine keys come late and together; when each was struck says whose they are.
      const gap = at - last;
      const begun = held.length >= LEAST || held[0]?.key === ';';
      if (held.length > 0 && gap > (begun ? BUSY_MS : GAP_MS)) settle();
      // What follows hard on other keys may be the tail of a card that was cut: no number at all rather than half of one.
      if (held.length === 0) calm = gap >= BUSY_MS;
      last = at;
      if (key === 'Enter' && held.length >= LEAST) {
        const text = held.map((h) => h.key).join('');
        held = [];
        if (calm) card(text.slice(0, MOST + 1));
        return;
      }
      held.push({ key, context });
      if (key === 'Enter') settle();
      else callOff = later(held.length >= LEAST || held[0].key === ';' ? BUSY_MS : GAP_MS, settle);
    },
  };
}
