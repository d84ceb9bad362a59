/** Modbus registers of 16 bits as numbers. The standard fixes the order of the bytes within a register and leaves that of registers open. */

/** Which of two registers comes first: the one with the high 16 bits or the one with the low. */
export type RegisterOrder = 'high first' | 'low first';

/** 0 to 2^16 - 1 from one register, 0 to 2^32 - 1 from two. Throws a RangeError for anything else. */
export function unsignedOf(registers: readonly number[], order: RegisterOrder): number {
  for (const r of registers)
    if (!Number.isInteger(r) || r < 0 || r > 0xffff) throw new RangeError(`${r} is not a register of 16 bits`);
  const [first, second] = registers;
  if (first === undefined || registers.length > 2) throw new RangeError('one or two registers make a number');
  if (second === undefined) return first;
  return order === 'high first' ? first * 0x1_0000 + second : second * 0x1_0000 + first;
}

/** The same as a number in two's complement. */
export function signedOf(registers: readonly number[], order: RegisterOrder): number {
  const n = unsignedOf(registers, order);
  const turn = 2 ** (16 * registers.length);
  return n >= turn / 2 ? n - turn : n;
}

/** The registers of a whole number, as a unit would hold it. Throws a RangeError where it does not fit. */
export function registersOf(n: number, bits: 16 | 32, order: RegisterOrder): number[] {
  if (!Number.isInteger(n) || n < 0 || n >= 2 ** bits) throw new RangeError(`${n} does not fit ${bits} bits`);
  if (bits === 16) return [n];
  const high = Math.floor(n / 0x1_0000);
  const low = n % 0x1_0000;
  return order === 'high first' ? [high, low] : [low, high];
}
