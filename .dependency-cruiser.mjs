/**
 * The walls of the house. Arrows run one way: cdk -> functions -> shared-lib, and inside shared-lib
 * history -> evaluate -> earth -> survey. What is pure stays pure: it runs in Lambda, in a browser and in the command line tool.
 */
const PURE = '^shared-lib/(survey|earth|evaluate|history|plan)/'
const rule = (name, comment, from, to) => ({ name, comment, severity: 'error', from, to })

export default {
  forbidden: [
    rule('no-cycles', 'A cycle has no bottom to stand on.', {}, { circular: true }),
    rule(
      'lib-below-functions',
      'shared-lib knows nothing of who uses it.',
      { path: '^shared-lib/' },
      { path: '^(functions|cdk|tests)/' },
    ),
    rule(
      'functions-below-cdk',
      'A function does not know where it is hosted.',
      { path: '^functions/' },
      { path: '^(cdk|tests)/' },
    ),
    rule(
      'nothing-needs-tests',
      'Only tests import tests.',
      { path: '^(shared-lib|functions|cdk)/' },
      { path: '^tests/' },
    ),
    rule(
      'pure-does-no-io',
      'Pure folders reach neither the world nor Node.',
      { path: PURE },
      { path: '^shared-lib/(ledger|ports)/' },
    ),
    rule(
      'pure-needs-no-node',
      'Pure folders run in a browser too.',
      { path: PURE },
      { dependencyTypes: ['core'] },
    ),
    rule(
      'pure-needs-no-cloud',
      'No SDK, server or mail library in pure folders.',
      { path: PURE },
      { path: 'node_modules/(@aws-sdk|@hono|hono|dynalite|nodemailer|jose)/' },
    ),
    rule(
      'survey-at-the-bottom',
      'The words depend on nothing else.',
      { path: '^shared-lib/survey/' },
      { path: '^shared-lib/(?!survey/)' },
    ),
    rule(
      'earth-on-survey',
      'Physics knows the words only.',
      { path: '^shared-lib/earth/' },
      { path: '^shared-lib/(?!(survey|earth)/)' },
    ),
    rule(
      'evaluate-on-earth',
      'One survey is judged without its history.',
      { path: '^shared-lib/evaluate/' },
      { path: '^shared-lib/(?!(survey|earth|evaluate)/)' },
    ),
    rule(
      'history-on-evaluate',
      'History sees judged surveys.',
      { path: '^shared-lib/history/' },
      { path: '^shared-lib/(?!(survey|earth|evaluate|history)/)' },
    ),
    rule(
      'plan-on-earth',
      'Planning needs words and physics.',
      { path: '^shared-lib/plan/' },
      { path: '^shared-lib/(?!(survey|earth|plan)/)' },
    ),
    rule(
      'table-only-in-ledger',
      'Only the ledger knows the table.',
      { path: '^(shared-lib|functions)/', pathNot: '^shared-lib/ledger/' },
      { path: 'node_modules/@aws-sdk/(client-dynamodb|lib-dynamodb)' },
    ),
    rule(
      'browser-needs-no-node',
      'What is bundled for a browser reaches no Node and no server; building it does.',
      { path: '^functions/web/client/', pathNot: '^functions/web/client/build-client' },
      {
        path: '^(cdk|tests)/|^shared-lib/(ledger|ports)/|^functions/web/(deps|create-app|session|access)',
        dependencyTypesNot: ['type-only'],
      },
    ),
    rule(
      'browser-imports-no-core',
      'What is bundled for a browser imports nothing of Node.',
      { path: '^functions/web/client/', pathNot: '^functions/web/client/build-client' },
      { dependencyTypes: ['core'] },
    ),
    rule(
      'functions-apart',
      'A function does not import another function, save that the command line may not either.',
      { path: '^functions/([^/]+)/' },
      { path: '^functions/', pathNot: '^functions/$1/' },
    ),
    rule('not-resolvable', 'Every import must resolve.', {}, { couldNotResolve: true }),
    rule(
      'declared',
      'Every package used is a declared dependency.',
      { path: '^(shared-lib|functions|cdk)/' },
      { dependencyTypes: ['npm-no-pkg', 'npm-unknown'] },
    ),
  ],
  options: {
    parser: 'swc',
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^(\\.stakeline|coverage|dist)/' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default'] },
  },
}
