import { Link } from '@tanstack/react-router';
import { SiteStrip } from '../../show/site-strip.tsx';
import { LatestFills } from './fills.tsx';
import { FirstSteps } from './first-steps.tsx';
import { OpenFlags } from './flags.tsx';
import { Refusals } from './refusals.tsx';
import { TroubledTanks } from './tanks.tsx';
import { Urgent } from './urgent.tsx';
import './today.css';

/** What needs a person now, and what has just happened. */
export default function TodayPage() {
  return (
    <div className="page">
      <h1>Today</h1>
      <FirstSteps />
      <Urgent />
      <section className="stack" aria-labelledby="today-sites">
        <h2 id="today-sites">Sites</h2>
        <SiteStrip />
      </section>
      <TroubledTanks />
      <OpenFlags />
      <div className="today-pair">
        <section className="panel stack" aria-labelledby="today-refusals">
          <h2 id="today-refusals">Latest refusals</h2>
          <Refusals />
        </section>
        <section className="panel stack" aria-labelledby="today-fills">
          <div className="spread">
            <h2 id="today-fills">Latest fills</h2>
            <Link to="/ledger">Open the ledger</Link>
          </div>
          <LatestFills />
        </section>
      </div>
    </div>
  );
}
