/** The usual cautions of every paper that leads somebody to a dispenser, a tank or a panel (README, Safety). */
export const USUAL_CAUTIONS: readonly string[] = [
  'Isolate and lock out. Keep ignition sources away. Bond and ground. Have the spill kit at hand. Mind the traffic.',
  'Nothing here replaces an emergency stop, an overfill device, a leak detector or a meter’s seal.',
  'Local codes and the authority having jurisdiction come first. Leave work to licensed or registered people: electrician, tank contractor, weights-and-measures service agent.',
  'In any doubt, stop the hose.',
];
