import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** The browser tests use Debian's Chromium. Where it is missing and may be installed, it is; otherwise one sentence says what to do. */
const PATH = process.env.CHROMIUM ?? '/usr/bin/chromium';

if (existsSync(PATH)) console.log(`Chromium: ${PATH}`);
else if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
  console.log('Chromium is missing; installing it with apt-get.');
  const run = (...args: string[]) =>
    execFileSync('apt-get', args, {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    });
  run('update', '-qq');
  run('install', '-y', '-qq', '--no-install-recommends', 'chromium');
  if (spawnSync(PATH, ['--version']).status !== 0) process.exit(1);
} else {
  console.error(
    'Chromium is needed for the browser tests: install the package chromium (Debian, Ubuntu), or set CHROMIUM to its path.',
  );
  process.exit(1);
}
