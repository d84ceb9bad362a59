import type { Fleet } from '@fillwright/core/fleet';
import type { Here, Place, WeekHere } from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useState } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { WhoChoice, whoIn } from '../../field/who-choice.tsx';
import { Mark } from '../../look/marks.tsx';
import { useHere } from '../../reach/use-reach.ts';
import { Going } from '../../show/going.tsx';
import { LongFile } from '../../show/long-file.tsx';
import { Calendar } from './calendar.tsx';
import { Counts } from './counts.tsx';
import { NamesBehind } from './names-behind.tsx';
import { EverySite, SitesBehind } from './sites-behind.tsx';
import { hosesWords, WeekMap } from './week-map.tsx';
import '../../show/week.css';
import './reach.css';
import { byName, byNumber, Choice, hosesAt } from '../../field/choice.tsx';

/** Stands in the address where every site is meant. */
const EVERY = 'every';
/** The same where those who are named come with nobody else. */
const ALONE = 'alone';

/** Who can draw what at a site, or at every one, over the week, at most. */
export default function ReachPage() {
  const { fleet } = useDraft();
  const later = useDeferredValue(fleet);
  const [where, change] = useWhere();
  const today = parseDate(useToday()) ?? 0;
  const first = [...fleet.sites.keys()][0];
  const site = where.site === EVERY ? '' : fleet.sites.has(where.site ?? '') ? (where.site ?? '') : (first ?? '');
  const { driver, vehicle, department } = whoIn(where);
  const what = where.what ?? '';
  const withAnybody = where.company !== ALONE;
  const place = { site, driver, vehicle, department, withAnybody };
  const worked = useHere(later, today, first === undefined ? null : place);
  const here = worked.answer?.kind === 'here' ? worked.answer.here : undefined;
  return (
    <div className="page">
      <div className="page-head">
        <h1>Reach</h1>
        {first !== undefined && <StatementLinks place={place} />}
      </div>
      <p className="quiet">
        Who can draw what, where and when, of the draft. PIN and answers are taken as right, nothing as drawn before,
        the site as linked: it is the most that may be drawn, and a decision may give less.
      </p>
      {first === undefined ? (
        <p>No site is in the draft yet.</p>
      ) : (
        <>
          <Choose {...{ fleet, change, what, place }} />
          <div className="spread">
            <p className="small quiet" role="status">
              {worked.working ? 'Working it out …' : here ? whoSaid(fleet, here.place) : ''}
            </p>
            <Going worked={worked} what="How much is worked out" quickly />
          </div>
          {worked.answer?.kind === 'failed' && <Mark is="error">{worked.answer.sentence}</Mark>}
          {here && <Shown fleet={later} here={here} today={today} what={what} />}
          {site !== '' && <CompareLinks site={site} />}
        </>
      )}
    </div>
  );
}

/** The access statement of whatever is chosen, on paper; of the draft, or of what the site says that it runs. */
function StatementLinks({ place: { site, driver, vehicle, department } }: { place: Place }) {
  const running = useAsk('sites', {}).data?.find((s) => s.site === site)?.running ?? null;
  const about =
    department !== null ? { department } : driver !== null ? { driver } : vehicle !== null ? { vehicle } : { site };
  if (site === '' && 'site' in about) return null;
  const whose = department ?? driver ?? vehicle ?? site;
  return (
    <>
      <LongFile name="accessStatement" give={{ query: about }} file={`access-${whose}-draft.pdf`}>
        Access statement
      </LongFile>
      {running !== null && (
        <LongFile
          name="accessStatement"
          give={{ query: { ...about, site, which: 'running' } }}
          file={`access-${whose}-${running}.pdf`}
        >
          Access statement of what the site runs
        </LongFile>
      )}
    </>
  );
}

/** Where the draft is set against what this site runs, and this site against another. */
function CompareLinks({ site }: { site: string }) {
  const running = useAsk('sites', {}).data?.find((s) => s.site === site)?.running ?? null;
  return (
    <p className="no-print">
      {running !== null && (
        <>
          <Link to="/compare" search={{ before: String(running), after: 'draft', site }}>
            What the draft changes here
          </Link>
          {' · '}
        </>
      )}
      <Link to="/compare" search={{ pair: 'sites', first: site }}>
        This site against another
      </Link>
    </p>
  );
}

function Shown({ fleet, here, today, what }: { fleet: Fleet; here: Here; today: number; what: string }) {
  const [cell, setCell] = useState<{ hose: string; minute: number }>();
  const top = Math.max(1, ...here.weeks.flatMap((w) => w.stretches.map((s) => s.room)));
  const weeks = here.weeks.filter((week) => isMeant(fleet, week, what));
  return (
    <>
      {here.why !== null && (
        <div className="notice">
          <Mark is="note">Cannot present themselves</Mark>
          <span>{here.why}</span>
        </div>
      )}
      {weeks
        .filter((week) => week.nothing === null)
        .map((week) => (
          <WeekMap
            key={week.hoses.join()}
            {...{ fleet, here, week, top }}
            pick={(minute) => setCell({ hose: week.hoses[0] ?? '', minute })}
          >
            {cell && week.hoses.includes(cell.hose) && here.place.site !== '' && (
              <NamesBehind {...{ fleet, today }} place={here.place} {...cell} move={setCell} />
            )}
            {cell && week.hoses.includes(cell.hose) && here.place.site === '' && (
              <SitesBehind
                {...{ fleet, here }}
                product={week.product}
                minute={cell.minute}
                close={() => setCell(undefined)}
              />
            )}
          </WeekMap>
        ))}
      <Nothing {...{ fleet, here }} weeks={weeks.filter((week) => week.nothing !== null)} />
      <Calendar fleet={fleet} here={here} />
      {here.place.site === '' ? (
        <EverySite {...{ fleet, here }} products={new Set(weeks.map((w) => w.product))} />
      ) : (
        <Counts fleet={fleet} here={here} />
      )}
    </>
  );
}

/** `what` is empty, 'product:ID' or 'hose:ID'. */
function isMeant(fleet: Fleet, week: WeekHere, what: string): boolean {
  if (what.startsWith('hose:')) return week.hoses.includes(what.slice(5));
  if (what.startsWith('product:')) return fleet.hoses.get(week.hoses[0] ?? '')?.product === what.slice(8);
  return true;
}

function Nothing({ fleet, here, weeks }: { fleet: Fleet; here: Here; weeks: readonly WeekHere[] }) {
  if (weeks.length === 0) return null;
  return (
    <section className="panel stack" aria-labelledby="reach-nothing">
      <h2 id="reach-nothing">Nothing may be drawn</h2>
      <ul className="reach-nothing">
        {weeks.map((week) => (
          <li key={week.hoses.join()}>
            {here.place.site === '' ? week.product : `${hosesWords(fleet, week.hoses)} (${week.product})`}:{' '}
            {week.nothing}.
          </li>
        ))}
      </ul>
    </section>
  );
}

/** 'Ana Voss with Tanker 4 at North yard, over the year from 2026-11-25'. */
function whoSaid(fleet: Fleet, { site, driver, vehicle, department, withAnybody }: Place): string {
  const at = site === '' ? 'any site' : nameOf(fleet, 'sites', site);
  if (department !== null)
    return `At ${at}: the most that anybody of ${department} may draw, alone or with anybody of the fleet; not everybody of it may.`;
  const who = [
    driver === null ? [] : nameOf(fleet, 'drivers', driver),
    vehicle === null ? [] : nameOf(fleet, 'vehicles', vehicle),
  ].flat();
  if (who.length === 0) return `At ${at}: the most that anybody of the fleet may draw; not everybody may.`;
  if (who.length === 2) return `At ${at}: ${who.join(' with ')}.`;
  return withAnybody
    ? `At ${at}: the most that ${who[0]} may draw, alone or with ${driver === null ? 'any driver' : 'any vehicle'}; not with every one.`
    : `At ${at}: ${who[0]} alone.`;
}

function Choose(props: {
  fleet: Fleet;
  place: Place;
  what: string;
  change: (part: Readonly<Record<string, string | undefined>>) => void;
}) {
  const { fleet, place, what, change } = props;
  const hoses = hosesAt(fleet, place.site);
  const products = [...new Set((place.site === '' ? [...fleet.hoses.values()] : hoses).map((h) => h.product))];
  return (
    <section className="panel choose" aria-label="Whose reach, and where">
      <Choice
        label="Site"
        items={[[EVERY, 'every site'], ...byName(fleet.sites.values())]}
        value={place.site || EVERY}
        choose={(site) => change({ site, what: undefined })}
      />
      <WhoChoice {...{ fleet, change }} who={place} />
      {(place.driver === null) !== (place.vehicle === null) && (
        <Choice
          label="With whom"
          items={[
            ['', 'anybody'],
            [ALONE, 'nobody'],
          ]}
          value={place.withAnybody ? '' : ALONE}
          choose={(company) => change({ company: company || undefined })}
        />
      )}
      <Choice
        label="Hose or product"
        items={[
          ['', 'all'],
          ...products.map((id) => [`product:${id}`, nameOf(fleet, 'products', id)] as const),
          ...byNumber(fleet, hoses).map(([id, words]) => [`hose:${id}`, `hose ${words}`] as const),
        ]}
        value={what}
        choose={(to) => change({ what: to || undefined })}
      />
    </section>
  );
}
