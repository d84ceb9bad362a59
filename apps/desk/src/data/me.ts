import type { Role } from '@fillwright/wire';
import { useAsk } from './hub.ts';

const RANK: Readonly<Record<Role, number>> = { viewer: 0, technician: 1, editor: 2, owner: 3 };

/** Who is signed in; undefined while that is being asked, and where nobody is. */
export const useMe = () => useAsk('me', {}).data;

/** Whether the one who is signed in has this role or one that may more. */
export function useMay(role: Role): boolean {
  const me = useMe();
  return me !== undefined && RANK[me.role] >= RANK[role];
}
