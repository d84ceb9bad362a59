import { problem } from '@fillwright/core/errors';
import { CommanderError } from 'commander';
import { EXIT } from './exit.ts';
import { problemText, Stopped } from './output.ts';
import { program } from './program.ts';

try {
  await program().parseAsync();
} catch (cause) {
  const json = process.argv.includes('--json');
  if (cause instanceof CommanderError) process.exitCode = cause.exitCode === 0 ? EXIT.done : EXIT.usage;
  else if (cause instanceof Stopped) {
    console.error(json ? JSON.stringify({ problems: cause.problems }) : cause.message);
    process.exitCode = cause.code;
  } else {
    console.error(
      problemText(
        problem('FW-505', { found: cause instanceof Error ? (cause.stack ?? cause.message) : String(cause) }),
      ),
    );
    process.exitCode = EXIT.failed;
  }
}
