import { harrowmere } from '@fillwright/sim';
import { expect, it } from 'vitest';
import { welcomeAt, welcomeText } from './welcome.ts';

it('names somebody at every site of the invented fleet whom it serves by day, and says how', () => {
  const fleet = harrowmere();
  for (const site of fleet.sites.keys()) {
    // A Wednesday, noon in the west of America.
    const found = welcomeAt(fleet, site, Date.UTC(2026, 10, 25, 19));
    expect(found?.pin).toMatch(/^\d{4}$/);
    expect([...fleet.credentials.values()].map((c) => c.number)).toEqual(
      expect.arrayContaining([...(found?.cards ?? [''])]),
    );
    expect(found && welcomeText(found)).toContain(`PIN ${found?.pin}`);
  }
  expect(welcomeAt(fleet, 'nowhere', 0)).toBeUndefined();
});
