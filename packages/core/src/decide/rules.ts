/**
 * Every rule of a decision in the order in which it is looked at. The first refusal decides; limits are collected and the least
 * holds. `next` is what a help desk would do. See SPEC.md for each rule in full.
 */
export const RULES = {
  'site-known': {
    title: 'The site is in the fleet and in service',
    next: 'Check the site in the draft; put it in service and release.',
  },
  'hose-known': {
    title: 'The hose belongs to the site and is in service',
    next: 'Check the hose in the site’s sheet.',
  },
  'hose-terminal': {
    title: 'The terminal may choose this hose',
    next: 'Use the terminal on the hose’s island, or add this terminal to the hose.',
  },
  'card-known': {
    title: 'The credential is in the roster',
    next: 'Add the credential to the roster, or have the person present another.',
  },
  'card-stopped': {
    title: 'The credential has not been stopped',
    next: 'If it was found again, lift the stop in the roster and release.',
  },
  'card-dates': {
    title: 'The credential is within its dates',
    next: 'Extend its dates in the roster and release, or hand out a new one.',
  },
  'cards-agree': {
    title: 'The credentials presented do not contradict each other',
    next: 'Present one driver’s and one vehicle’s credential.',
  },
  'holder-active': { title: 'The holder is active', next: 'Make the holder active in the roster and release.' },
  'holder-dates': {
    title: 'The holder is within its dates',
    next: 'Extend the holder’s dates in the roster and release.',
  },
  'holder-site': {
    title: 'The holder may use this site',
    next: 'Add the site to the holder, or send them to one of theirs.',
  },
  identified: { title: 'Whoever must be known is known', next: 'Present the missing credential.' },
  'site-open': {
    title: 'The site is open on this date',
    next: 'Come back on another day, or take the date out of the site’s closed days.',
  },
  pin: { title: 'The PIN was keyed right', next: 'Key the PIN again; set a new one at the office if it is forgotten.' },
  question: {
    title: 'Every question is answered as it must be',
    next: 'Answer again; check the accepted answers or the last reading.',
  },
  allowance: {
    title: 'Somebody identified holds an allowance',
    next: 'Give the driver or the vehicle an allowance and release.',
  },
  'allowance-product': {
    title: 'An allowance covers the product',
    next: 'Choose another hose, or add the product to the allowance.',
  },
  'allowance-site': {
    title: 'An allowance covers the site',
    next: 'Use another site, or add this one to the allowance.',
  },
  'allowance-time': { title: 'An allowance covers the moment', next: 'Come back within its times, or widen them.' },
  'allowance-cut-off': {
    title: 'The allowance holds while the site is cut off',
    next: 'Restore the site’s link, or change what the allowance says when cut off.',
  },
  'fills-per-day': { title: 'Fills are left today', next: 'Wait until tomorrow, or raise the fills per day.' },
  'per-fill': { title: 'The most per fill', next: 'Raise it in the allowance, or fill again.' },
  'per-day': { title: 'What is left of the day', next: 'Wait until tomorrow, or raise the day’s quantity.' },
  'per-week': { title: 'What is left of the week', next: 'Wait until Monday, or raise the week’s quantity.' },
  'per-month': { title: 'What is left of the month', next: 'Wait until the first, or raise the month’s quantity.' },
  'hose-most': { title: 'The most that the hose gives in one fill', next: 'Fill again, or raise it on the hose.' },
  'vehicle-tank': { title: 'What the vehicle’s own tank holds', next: 'Check the tank’s size in the roster.' },
} as const satisfies Record<string, { title: string; next: string }>;
