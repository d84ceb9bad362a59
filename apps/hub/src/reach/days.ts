/** Days that reach and its difference look at, today included. */
export const DAYS = 365;
/** Names of a group that are given before the count. */
export const NAMES = 3;
