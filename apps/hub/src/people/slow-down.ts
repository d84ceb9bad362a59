const FREE_TRIES = 5;
const FIRST_WAIT_MS = 30_000;
const LONGEST_WAIT_MS = 15 * 60_000;

/** How long an account waits after so many wrong tries in a row, in milliseconds: nothing for five, then half a minute, doubling. */
export const waitAfter = (wrongTries: number): number =>
  wrongTries < FREE_TRIES ? 0 : Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (wrongTries - FREE_TRIES));
