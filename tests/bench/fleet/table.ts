import type { FleetScore, Found } from './score-fleet.ts'
import type { Planted } from './truth.ts'

/** One line of the printed table: what, the goal where one is set, and its value in a score. */
interface Row {
  what: string
  goal: string
  value: (s: FleetScore) => string
}

const two = (x: number) => x.toFixed(2)
const whole = (x: number) => x.toFixed(0)
const one = (x: number) => x.toFixed(1)
const found = (s: FleetScore, type: Planted, of: (f: Found) => string) => {
  const f = s.events[type]
  return f ? `${of(f)} (${f.n})` : '-'
}
const firstOf = (type: Planted) => (s: FleetScore) => found(s, type, (f) => one(f.first))
const bothOf = (type: Planted) => (s: FleetScore) =>
  found(s, type, (f) => `${one(f.first)} / ${one(f.second)}`)
const namedOf = (type: Planted) => (s: FleetScore) =>
  found(s, type, (f) => `${one(f.first)}, named ${one(f.named)}`)
const slips = (f: Found) => (f.n ? `${one(f.first)} (${f.n})` : '-')

const ROWS: Row[] = [
  { what: 'false alarms per 100 clean surveys', goal: '', value: (s) => two(s.falseAll) },
  { what: '  with 5 or more others in the visit', goal: '<= 0.5', value: (s) => two(s.falseMany) },
  { what: '  with 1 to 4 others', goal: '<= 0.7', value: (s) => two(s.falseFew) },
  { what: '  alone', goal: '<= 0.7', value: (s) => two(s.falseAlone) },
  { what: '  in a drought', goal: '<= 1.5', value: (s) => two(s.falseDrought) },
  { what: '  first survey of an electrode', goal: '<= 0.5', value: (s) => two(s.falseFirst) },
  { what: 'decimal slip, first survey of it, %', goal: '>= 99', value: namedOf('decimal') },
  { what: "  on an electrode's first survey", goal: '>= 90', value: (s) => slips(s.firstSlips.decimal) },
  { what: 'unit slip', goal: '>= 99', value: namedOf('unit') },
  { what: "  on an electrode's first survey", goal: '>= 99', value: (s) => slips(s.firstSlips.unit) },
  { what: 'repeated sheet', goal: '>= 97', value: namedOf('copied') },
  { what: 'break, 1st / 2nd survey', goal: '95 / 98.5', value: bothOf('break') },
  { what: 'parallel path left on, 1st / 2nd', goal: '95 / 98', value: bothOf('parallel') },
  { what: 'parallel path, one survey', goal: '>= 95', value: firstOf('parallelOnce') },
  { what: 'wrong electrode', goal: '84, named 75', value: namedOf('wrongid') },
  { what: 'current probe too close', goal: '>= 97', value: firstOf('tooclose') },
  { what: 'readings out of order', goal: '', value: firstOf('order') },
  { what: 'unrecorded improvement, 1st / 2nd', goal: '', value: bothOf('repair') },
  {
    what: 'corrosion at +20 %: 1st / 2nd / 3rd survey',
    goal: '58 / 87 / 95',
    value: (s) => `${s.corrosion20.by.map(whole).join(' / ')} (${s.corrosion20.n.join(', ')})`,
  },
  {
    what: 'site corroding together, named: 1st / 2nd / 3rd visit',
    goal: '',
    value: (s) => `${s.siteDrift.by.map(whole).join(' / ')} (${s.siteDrift.n.join(', ')})`,
  },
  { what: '  false per 100 visits', goal: '', value: (s) => two(s.siteDrift.falsePer100Visits) },
  {
    what: 'instrument off 10-30 %: within 3 visits',
    goal: '>= 30',
    value: (s) => `${whole(s.instrument.within3)} (${s.instrument.n})`,
  },
  { what: '  false per 100 visits', goal: '<= 0.5', value: (s) => two(s.instrument.falsePer100Visits) },
  {
    what: 'probability against outcome',
    goal: '<= 0.03',
    value: (s) => `${s.calibration.error.toFixed(3)} (${s.calibration.n})`,
  },
  { what: 'surveys with an alarm, per 100', goal: '', value: (s) => two(s.loudPer100) },
]

/** The scores side by side, in columns of even width. */
export function tableOf(scores: readonly { name: string; score: FleetScore }[]): string {
  const lines = [
    ['', 'goal', ...scores.map((s) => `${s.name} (${s.score.surveys})`)],
    ...ROWS.map((row) => [row.what, row.goal, ...scores.map((s) => row.value(s.score))]),
  ]
  const widths = lines[0]!.map((_, c) => Math.max(...lines.map((l) => l[c]!.length)))
  return lines
    .map((l) =>
      l
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}
