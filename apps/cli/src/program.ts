import { Command } from 'commander';
import { accessStatement, why } from './commands/access.ts';
import { demo } from './commands/demo.ts';
import { difference, differenceOfSites } from './commands/difference.ts';
import { bench, findings, joinCode, release, sites, stopCard } from './commands/draft.ts';
import { exportBook, importBook, ledger, template } from './commands/files.ts';
import { flags } from './commands/flags.ts';
import { gaps } from './commands/gaps.ts';
import { officeKey, trustOfficeCommand } from './commands/office-key.ts';
import { probe } from './commands/probe.ts';
import { expectations, reach, week } from './commands/reach.ts';
import { signIn, signOut } from './commands/session.ts';
import { site } from './commands/site.ts';
import { start } from './commands/start.ts';
import { statement } from './commands/statement.ts';
import { bundle, officeTake, siteTake } from './commands/stick.ts';
import { stock } from './commands/stock.ts';
import { yard } from './commands/yard.ts';
import { EXIT } from './exit.ts';

/** `fillwright`: the same capabilities as the desk, from a shell. */
export function program(): Command {
  const p = new Command('fillwright')
    .description('Brings unattended fleet-fuelling sites into service and keeps them right.')
    .version('0.1.0')
    .addHelpText(
      'after',
      `\nExit codes: ${EXIT.done} done · ${EXIT.failed} failed · ${EXIT.usage} wrong command line · ${EXIT.look} done, but something wants a look · ${EXIT.access} not signed in or not allowed · ${EXIT.unreachable} no office answers`,
    );
  for (const c of [
    start,
    demo,
    site,
    yard,
    probe,
    signIn,
    signOut,
    importBook,
    exportBook,
    template,
    findings,
    accessStatement,
    why,
    bench,
    reach,
    week,
    difference,
    differenceOfSites,
    expectations,
    release,
    sites,
    ledger,
    flags,
    stock,
    statement,
    gaps,
    bundle,
    siteTake,
    officeTake,
    stopCard,
    joinCode,
    officeKey,
    trustOfficeCommand,
  ]) {
    p.addCommand(c.exitOverride());
  }
  return p.exitOverride();
}
