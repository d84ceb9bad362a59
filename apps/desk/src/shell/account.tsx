import { Button, Dialog, DialogTrigger, Popover } from 'react-aria-components';
import { queryClient, useDo } from '../data/hub.ts';
import { useMe } from '../data/me.ts';
import { type Theme, useTheme } from './theme.ts';

const THEMES: readonly [Theme, string][] = [
  ['system', 'As the system'],
  ['light', 'Light'],
  ['dark', 'Dark'],
];

/** Who is signed in, the colours of this browser, and the way out. */
export function Account() {
  const me = useMe();
  const [theme, setTheme] = useTheme();
  const signOut = useDo('signOut');
  return (
    <DialogTrigger>
      <Button className="button plain top-me" aria-label={`Account: ${me?.name ?? ''}`}>
        {me?.name}
      </Button>
      <Popover className="account-box" placement="bottom end">
        <Dialog className="stack account" aria-label="Account">
          <div>
            <strong>{me?.name}</strong>
            <div className="small quiet">
              {me?.email}, {me?.role}
            </div>
          </div>
          <label className="field">
            <span className="field-label">Theme</span>
            <select className="input" value={theme} onChange={(e) => setTheme(e.target.value as Theme)}>
              {THEMES.map(([value, label]) => (
                <option key={value} value={value}>
                  {label}
                </option>
              ))}
            </select>
          </label>
          <button
            type="button"
            className="button"
            onClick={() => signOut.mutate({}, { onSettled: () => queryClient.resetQueries() })}
          >
            Sign out
          </button>
        </Dialog>
      </Popover>
    </DialogTrigger>
  );
}
