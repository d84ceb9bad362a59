import { type ReactNode, useEffect, useRef } from 'react';

/** A picture with its words for who cannot see it, and its figures as a table behind it. `draw` gives the element for a width in px. */
export function Picture(props: {
  title: string;
  words: string;
  draw: (width: number) => Element;
  children: ReactNode;
}) {
  const { title, words, draw, children } = props;
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const into = place.current;
    if (!into) return;
    let width = 0;
    const show = () => {
      const now = Math.floor(into.clientWidth);
      if (now === width || now === 0) return;
      width = now;
      into.replaceChildren(draw(now));
    };
    const watch = new ResizeObserver(show);
    watch.observe(into);
    show();
    return () => {
      watch.disconnect();
      into.replaceChildren();
    };
  }, [draw]);
  return (
    <figure className="picture">
      <figcaption>{title}</figcaption>
      <div ref={place} role="img" aria-label={words} className="picture-place" />
      <details className="small">
        <summary>As a table</summary>
        <div className="strip-scroll">{children}</div>
      </details>
    </figure>
  );
}
