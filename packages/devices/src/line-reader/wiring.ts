import { z } from 'zod';

/** Where a line of bytes leads: fields shared by readers and Modbus lines. */
export const place = {
  tcp: {
    host: z.string().min(1).max(255).describe('Name or address of the unit, on a network of its own.'),
    port: z.int().min(1).max(65_535).describe('TCP port.'),
  },
  serial: {
    path: z.string().min(1).max(255).describe('The serial port’s path on the box.'),
    baud: z.int().min(300).max(921_600).describe('Bits a second.'),
    parity: z.enum(['none', 'even', 'odd']).describe('Parity bit.'),
    stopBits: z
      .union([z.literal(1), z.literal(2)])
      .default(1)
      .describe('Stop bits.'),
  },
} as const;

const form = {
  form: z
    .enum(['track 2', 'track 2 with check', 'wiegand 26', 'plain'])
    .describe('What a line is: track 2 without or with its check character, 26 bits as 0 and 1, or a plain number.'),
  silenceMs: z
    .int()
    .min(20)
    .max(2_000)
    .default(150)
    .describe(
      'A reader that sends no line end has ended when it is silent for so long. 150 ms: common practice, no source.',
    ),
};

export const lineReader = z
  .discriminatedUnion('over', [
    z.strictObject({ over: z.literal('tcp'), ...place.tcp, ...form }),
    z.strictObject({
      over: z.literal('serial'),
      ...place.serial,
      baud: place.serial.baud.default(9_600),
      parity: place.serial.parity.default('none'),
      ...form,
    }),
  ])
  .describe('A card reader that sends lines.');

export type WiredReader = z.infer<typeof lineReader>;
