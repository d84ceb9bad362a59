import { describe, expect, it } from 'vitest';
import { keepProver, keptProver } from './kept-prover.ts';
import { newProver } from './run-form.ts';

describe('the prover that is kept on a computer', () => {
  it('comes back as it was typed', () => {
    const kept = new Map<string, string>();
    const storage = () => ({
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, text: string) => void kept.set(key, text),
    });
    expect(keptProver(storage)).toBeNull();
    const prover = { ...newProver('gal'), certificate: 'C-17' };
    keepProver(storage, prover);
    expect(keptProver(storage)).toEqual(prover);
  });

  it('is none where a browser allows no storage, and no run is lost for it', () => {
    const storage = (): Storage => {
      throw new Error('the browser keeps nothing');
    };
    expect(() => keepProver(storage, newProver('l'))).not.toThrow();
    expect(keptProver(storage)).toBeNull();
  });
});
