import { dollarsOf, statedOf, sum, type Way } from './cost/bill.ts'
import { measureUse, type Use } from './cost/measure-use.ts'
import { ASSUMED, PRICES } from './cost/prices.ts'
import { yearOf } from './cost/year.ts'

/** `npm run bench:cost`: what a survey uses and costs, and the year of an operator, as Markdown. Nothing is asked of any account. */

const short = (value: number): string => String(Number(value.toPrecision(3)))
const row = (...cells: (string | number)[]) => console.log(`| ${cells.join(' | ')} |`)
const head = (...cells: string[]) => {
  row(...cells)
  row(...cells.map(() => '---'))
}

const use = await measureUse()
const later = await measureUse(60)
const works: [string, Use, Way][] = [
  ['form post, 42 earlier tests', use['form post'], 'form'],
  ['form post, 62 earlier tests', later['form post'], 'form'],
  ['upload of 20', use['upload of 20'], 'file'],
  ['10-year backfill', use['10-year backfill'], 'file'],
]

console.log('## A survey, comparing included\n\nCounted on the embedded table, index writes added by rule:\n')
head('work', 'surveys', 'table reads', 'table writes', 'read units', 'write units', 'queue messages')
for (const [name, u] of works)
  row(
    name,
    u.surveys,
    ...[u.tableReads, u.tableWrites, u.readUnits, u.writeUnits, u.messages].map((n) => short(n / u.surveys)),
  )

console.log('\nStated from the deployed shape, a survey:\n')
head(
  'work',
  'API calls',
  'function calls',
  'function s',
  'queue requests',
  'bucket puts',
  'bucket gets',
  'mails',
)
for (const [name, u, way] of works) {
  const s = statedOf(u, way)
  const all = [s.apiCalls, s.functionCalls, s.functionSeconds, s.queueRequests]
  row(name, ...[...all, s.bucketPuts, s.bucketGets, s.mails].map((n) => short(n / u.surveys)))
}

console.log(`\n## Dollars for 1,000 surveys\n\n${PRICES.source}; as of ${PRICES.asOf}.\n`)
const services = Object.keys(dollarsOf(use['form post'], 'form'))
head('work', ...services, 'together')
for (const [name, u, way] of works) {
  const by = dollarsOf(u, way)
  const thousand = (dollars: number) => short((1000 * dollars) / u.surveys)
  row(name, ...services.map((service) => thousand(by[service]!)), thousand(sum(by)))
}

console.log(
  "\n## The year of an operator\n\nHalf by form, half in files of 20. Limits are from memory, as shares of them in the busiest hour or day. Alarms, dashboard, traces, keys and people's accounts come on top.\n",
)
head(
  ...['surveys a year', 'dollars', 'of it for being there', 'surveys a s', 'functions at once'],
  ...['write units a s', 'mails a day', 'limits met first'],
)
for (const surveys of [1e3, 1e5, 1e7]) {
  const y = yearOf(surveys, use)
  row(
    surveys.toLocaleString('en'),
    ...[y.dollars, y.standingDollars, y.surveysOfBusiestS, y.functionsAtOnce].map(short),
    ...[y.writeUnitsOfBusiestS, y.mailsOfBusyDay].map(short),
    y.firstLimits.join('; '),
  )
}
console.log(`\nAssumed, not measured: ${JSON.stringify(ASSUMED)}`)
