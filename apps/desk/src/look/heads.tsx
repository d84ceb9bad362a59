/** The words over a column, or more of it than that. */
export type Head = string | { readonly words: string; readonly className?: string; readonly unseen?: boolean };

/** Over figures. */
export const right = (words: string): Head => ({ words, className: 'number' });
/** Where the cells speak for themselves. */
export const unseen = (words: string, className?: string): Head => ({
  words,
  unseen: true,
  ...(className !== undefined && { className }),
});
/** Where what stands below can only be pressed. */
export const offPaper = (words: string): Head => ({ words, className: 'no-print' });

/** The head of a table. */
export const Heads = ({ of }: { of: readonly (Head | false)[] }) => (
  <thead>
    <tr>
      {of.map((head) => {
        if (head === false) return null;
        const { words, className, unseen } = typeof head === 'string' ? { words: head } : head;
        return (
          <th key={words} scope="col" className={className}>
            {unseen ? <span className="unseen">{words}</span> : words}
          </th>
        );
      })}
    </tr>
  </thead>
);
