/**
 * How well the judgement against prior tests does where the truth is known: npm run bench:judgement [-- FOLDER…] [options].
 * Without a folder it judges the project's own simulated operators; a folder holds electrodes.csv, instruments.csv, surveys.csv,
 * truth.json and perhaps works.csv. Prints one table, and the time a survey.
 *   --settings a,b   which simulated operators (default ordinary,extreme,lonely)
 *   --seed N         another draw of them; --sites N makes them larger or smaller
 *   --history-only   leaves out what each survey's own evaluation finds
 *   --parameters F   learnt parameters
 *   --write FOLDER   also writes the simulated operators there, one folder each
 *   --prototype      also prints the column of the model that this one must better (tests/bench/prototype), on the same surveys,
 *                    with the constants it was published with; --prototype-learns: with what it learns from the same surveys
 *   --json           prints the judged surveys instead, one a line (of one folder)
 */
import { readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { parseArgs } from 'node:util'
import { mergeFindings } from '../../shared-lib/history/merge-findings.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { type FleetRecords, judgeAlone, judgeHistories, keyOf } from './fleet/judge-fleet.ts'
import { readFleet } from './fleet/read-fleet.ts'
import { type FleetScore, scoreFleet } from './fleet/score-fleet.ts'
import { SETTINGS } from './fleet/setting.ts'
import { simulateFleet } from './fleet/simulate-fleet.ts'
import { tableOf } from './fleet/table.ts'
import type { Truth } from './fleet/truth.ts'
import { writeFleet } from './fleet/write-fleet.ts'
import { judgeByPrototype } from './prototype/judge-by-prototype.ts'

const { values: options, positionals: folders } = parseArgs({
  allowPositionals: true,
  options: {
    settings: { type: 'string', default: 'ordinary,extreme,lonely' },
    seed: { type: 'string', default: '1' },
    sites: { type: 'string' },
    'history-only': { type: 'boolean', default: false },
    parameters: { type: 'string' },
    write: { type: 'string' },
    prototype: { type: 'boolean', default: false },
    'prototype-learns': { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
  },
})
const parameters = options.parameters
  ? JSON.parse(readFileSync(options.parameters, 'utf8'))
  : defaultParameters

async function* fleets(): AsyncGenerator<{ name: string; fleet: FleetRecords & { truth: Truth[] } }> {
  for (const folder of folders) yield { name: basename(folder), fleet: await readFleet(folder) }
  if (folders.length > 0) return
  for (const name of options.settings.split(',')) {
    const setting = SETTINGS[name]
    if (!setting) throw new Error(`no setting ${name}; there are ${Object.keys(SETTINGS).join(', ')}`)
    const sites = options.sites ? Number(options.sites) : setting.sites
    const fleet = simulateFleet({ ...setting, sites }, options.seed)
    if (options.write) writeFleet(join(options.write, name), fleet)
    yield { name, fleet: { ...fleet, works: [] } }
  }
}

const scores: { name: string; score: FleetScore }[] = []
for await (const { name, fleet } of fleets()) {
  const started = process.cpuUsage().user
  const alone = judgeAlone(fleet)
  const comparing = process.cpuUsage().user
  const found = judgeHistories(alone, parameters)
  const done = process.cpuUsage().user
  const all = new Map(
    alone.judged.map((s) => {
      const history = found.get(keyOf(s.electrodeId ?? '', s.surveyRef)) ?? []
      return [s.surveyRef, options['history-only'] ? history : mergeFindings(s.findings, history)]
    }),
  )
  if (options.json)
    for (const s of alone.judged)
      process.stdout.write(`${JSON.stringify({ ...s, findings: all.get(s.surveyRef) })}\n`)
  scores.push({ name, score: scoreFleet(fleet.truth, (t) => all.get(t.ref) ?? []) })
  for (const learns of [false, true]) {
    if (!options[learns ? 'prototype-learns' : 'prototype']) continue
    const byPrototype = judgeByPrototype(fleet, learns)
    const score = scoreFleet(fleet.truth, (t) => byPrototype.get(keyOf(t.electrode, t.ref)) ?? [])
    scores.push({ name: learns ? 'prototype, learnt' : 'prototype', score })
  }
  // Processor time, so that a busy machine does not count.
  const each = (from: number, to: number) => ((to - from) / Math.max(1, alone.judged.length)).toFixed(0)
  process.stderr.write(
    `${name}: ${alone.judged.length} surveys; alone ${each(started, comparing)} us each, against prior tests ${each(comparing, done)} us each\n`,
  )
}
if (!options.json) process.stdout.write(`${tableOf(scores)}\n`)
