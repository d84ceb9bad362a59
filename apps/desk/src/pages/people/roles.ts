import type { Role } from '@fillwright/wire';

/** The roles in words, from the one that may most. */
export const ROLES: Readonly<Record<Role, { label: string; may: string }>> = {
  owner: { label: 'Owner', may: 'Everything, and who may sign in.' },
  editor: { label: 'Editor', may: 'Changes the draft, releases, stops cards, sets PINs.' },
  technician: { label: 'Technician', may: 'Joins boxes and writes dips and deliveries into the tank book.' },
  viewer: { label: 'Viewer', may: 'Looks at everything, changes nothing.' },
};
