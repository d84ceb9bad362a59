/** The walls of the house (docs/architecture.md): who may import what of ours. Everything that is not allowed here is forbidden. */

const CORE_ROOMS = {
  errors: [],
  units: [],
  fleet: ['units', 'errors'],
  decide: ['units', 'errors', 'fleet'],
  metering: ['units', 'errors', 'fleet'],
  accounts: ['units', 'errors', 'fleet'],
  flags: ['units', 'errors', 'fleet'],
  stock: ['units', 'errors', 'fleet', 'metering'],
  reach: ['units', 'errors', 'fleet', 'decide'],
  findings: ['units', 'errors', 'fleet', 'decide', 'reach', 'metering', 'island'],
  worksheet: ['units', 'errors', 'fleet', 'decide', 'reach', 'metering'],
  island: ['units', 'errors', 'fleet', 'metering'],
};

const PARTS = {
  'packages/core': [],
  'packages/wire': ['core'],
  'packages/journal': ['core/(units|errors)'],
  'packages/devices': ['core/(units|errors|fleet|metering)'],
  'packages/intake': ['core'],
  'packages/paper': ['core'],
  'packages/sim': ['core', 'wire', 'journal', 'devices'],
  'apps/site': ['core', 'wire', 'journal', 'devices', 'sim', 'intake'],
  'apps/hub': ['core', 'wire', 'intake', 'paper'],
  'apps/desk': ['core', 'wire'],
  'apps/cli': ['core', 'wire', 'journal', 'devices', 'sim', 'intake', 'paper', 'hub', 'site'],
};

const test = '(\\.test\\.tsx?$|/test/)';

const rooms = Object.entries(CORE_ROOMS).map(([room, may]) => ({
  name: `core-${room}`,
  severity: 'error',
  comment: `core/${room} may import only: ${may.join(', ') || 'nothing of ours'}`,
  from: { path: `^packages/core/src/${room}/`, pathNot: test },
  to: { path: '^packages/core/src/', pathNot: `^packages/core/src/(${[room, ...may].join('|')})/` },
}));

const parts = Object.entries(PARTS).map(([part, may]) => ({
  name: part.replace('/', '-'),
  severity: 'error',
  comment: `${part} may import only: ${may.join(', ') || 'nothing of ours'}`,
  from: { path: `^${part}/src/`, pathNot: test },
  to: {
    path: '^(packages|apps|bench|e2e)/',
    pathNot: `^(${part}/|${may.map((m) => (/^(hub|site)$/.test(m) ? `apps/${m}/` : `packages/${m.replace('/', '/src/')}/`)).join('|') || '-'})`,
  },
}));

export default {
  forbidden: [
    ...rooms,
    ...parts,
    {
      name: 'no-circles',
      severity: 'error',
      comment: 'files do not import in a circle',
      from: { pathNot: test },
      to: { circular: true, dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'resolvable',
      severity: 'error',
      comment: 'every import leads somewhere',
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: 'core-third-party',
      severity: 'error',
      comment: 'core uses zod and, for statistics in stock and flags, pure libraries; nothing else from outside',
      from: { path: '^packages/core/src/', pathNot: `${test}|^packages/core/src/(stock|flags)/` },
      to: { dependencyTypes: ['npm', 'npm-dev', 'core', 'npm-no-pkg', 'npm-unknown'], pathNot: 'node_modules/zod/' },
    },
    {
      name: 'core-statistics',
      severity: 'error',
      comment: 'stock and flags use zod and pure libraries of mathematics',
      from: { path: '^packages/core/src/(stock|flags)/', pathNot: test },
      to: {
        dependencyTypes: ['npm', 'npm-dev', 'core', 'npm-no-pkg', 'npm-unknown'],
        pathNot: 'node_modules/(zod|ml-[a-z-]+|simple-statistics|@stdlib)/',
      },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json', '.d.ts'],
    },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '(/dist/|\\.css$)' },
  },
};
