interface Drawn {
  readonly to: readonly string[];
}

/**
 * A table of states as a Mermaid state diagram: an arrow for each pair of states that a cell may lead between, with the signals that lead
 * there. A signal that leads to one and the same state from more than half of all states would cover the picture; it is named below it.
 */
export function stateDiagram(cells: Readonly<Record<string, Readonly<Record<string, Drawn | undefined>>>>): string[] {
  const states = Object.keys(cells);
  const from = new Map<string, string[]>();
  for (const [state, row] of Object.entries(cells))
    for (const [signal, cell] of Object.entries(row))
      for (const to of cell?.to ?? [])
        if (to !== state) from.set(`${signal} ${to}`, [...(from.get(`${signal} ${to}`) ?? []), state]);
  const arrows = new Map<string, string[]>();
  const everywhere: string[] = [];
  for (const [key, states_] of from) {
    const [signal = '', to = ''] = key.split(' ');
    if (states_.length * 2 > states.length)
      everywhere.push(`\`${signal}\` leads to \`${to}\` from ${states_.map((s) => `\`${s}\``).join(', ')}.`);
    else
      for (const state of states_) {
        const arrow = `${state} --> ${to}`;
        arrows.set(arrow, [...(arrows.get(arrow) ?? []), signal.replace(':', ' ')]);
      }
  }
  return [
    '```mermaid',
    'stateDiagram-v2',
    ...[...arrows].map(([arrow, signals]) => `  ${arrow}: ${signals.join(', ')}`),
    '```',
    '',
    ...(everywhere.length > 0
      ? ['Not drawn, because it leads there from most states:', '', ...everywhere.map((e) => `- ${e}`), '']
      : []),
  ];
}
