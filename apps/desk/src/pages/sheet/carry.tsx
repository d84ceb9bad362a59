import { signedText, stickNames, urlOf } from '@fillwright/wire';
import { useId, useState } from 'react';
import { useAsk, useDo, useMay } from '../../data/index.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';

/** For a site without a link: a file goes to its box on a stick, and one comes back. */
export function CarrySection({ site }: { site: string }) {
  const take = useDo('takeStick');
  const sites = useAsk('sites', {});
  const joined = sites.data?.some((s) => s.site === site && s.joined) ?? false;
  const [unread, setUnread] = useState(false);
  const field = useId();
  if (!useMay('technician') || !joined) return null;
  const read = async (file: File | undefined) => {
    if (!file) return;
    const text = signedText.safeParse(await file.text().then(JSON.parse, () => undefined));
    setUnread(!text.success);
    if (text.success) take.mutate({ body: text.data });
  };
  return (
    <section className="stack no-print">
      <h3>Carry by hand</h3>
      <p className="small quiet">
        Where there is no link, a stick does. Plug in only outside the hazardous area or with the cabinet isolated and
        locked out; no ignition sources; mind the traffic. Local rules come first.
      </p>
      <div className="row">
        <a className="button" href={urlOf('stickFor', { params: { site } })} download={stickNames.to(site)}>
          File for the box
        </a>
      </div>
      <div className="stack">
        <label htmlFor={field}>Take a file from a box</label>
        <input
          id={field}
          type="file"
          accept=".json"
          disabled={take.isPending}
          onChange={(e) => {
            void read(e.target.files?.[0]).catch(() => setUnread(true));
            e.target.value = '';
          }}
        />
      </div>
      <div aria-live="polite">
        {unread && <p>This is not a file that a box wrote, or it was cut short. Its name begins with from-.</p>}
        {take.data && !unread && (
          <p>
            {take.data.site}: {plural(take.data.entries, 'entry', 'entries')} in the file; everything up to{' '}
            {take.data.upTo} is here.
            {take.data.setAside > 0 && ` ${take.data.setAside} were set aside for a person to look at.`}
            {take.data.more && ' The box holds more: carry a new file there.'}
            {take.data.refused && ` The box did not take its file: ${take.data.refused.cause}`}
          </p>
        )}
        {take.error && <ProblemNote problem={take.error.problem} />}
      </div>
    </section>
  );
}
