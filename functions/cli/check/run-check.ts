import { setImmediate as turn } from 'node:timers/promises'
import type { JudgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import { mergeFindings } from '../../../shared-lib/history/merge-findings.ts'
import { CannotRun } from '../exit-status.ts'
import { type InputFile, openInput } from '../files/input-file.ts'
import { createSpill } from '../files/spill.ts'
import type { Workspace } from '../files/workspace.ts'
import type { Surroundings } from '../surroundings.ts'
import type { Progress } from '../terminal/progress.ts'
import { type Comparing, compareTests } from './compare-tests.ts'
import { createFindingsByRecord } from './findings-by-record.ts'
import { preferMemoryFor } from './frugal.ts'
import { createJudge, type Judging } from './judge-surveys.ts'
import { readParameters, readSurveyOptions, type SurveyOptions } from './read-options.ts'
import { type RegisterFiles, readRegisterBooks, zonesOf } from './read-register-books.ts'
import { readSoils } from './read-soils.ts'
import type { CheckRecord } from './record.ts'
import type { Report } from './report.ts'
import { readSurveyFile } from './survey-file.ts'
import { newTally, recountFindings, type Tally } from './tally.ts'
import { createTestIndex } from './test-index.ts'

export interface CheckRequest extends RegisterFiles, SurveyOptions {
  surveys: string[]
  parameters?: string
  asOfMs?: number
}

export interface CheckTools {
  around: Surroundings
  workspace: Workspace
  report: Report
  progress: Progress
  /** Remarks that are not records: on stderr. */
  tell(message: string): void
}

/** How many records are printed between two turns of the event loop: Ctrl-C answers at once. */
const TURN_EVERY = 2000

/**
 * Judges whole files in bounded memory: each survey by itself while it streams past (judged records go to disk), then each
 * electrode against its earlier tests and its site, then all records are printed in the order of the input with both joined.
 */
export async function runCheck(request: CheckRequest, tools: CheckTools): Promise<Tally> {
  const { around, workspace, report, progress } = tools
  refuseTwoStandardInputs(request)
  const open = (name: string) => openInput(name, around, workspace)
  const parameters = await readParameters(request.parameters, open)
  const options = await readSurveyOptions(request, open)
  const inputs: InputFile[] = []
  for (const name of request.surveys) inputs.push(await open(name))
  preferMemoryFor(inputs.reduce((bytes, input) => bytes + input.byteLength, 0))
  const tally = newTally()
  const { register, refused } = await readRegisterBooks(request, { open, tell: tools.tell })

  const records = createSpill(workspace.path('records'))
  const tests = createSpill(workspace.path('tests'))
  const found = createSpill(workspace.path('findings'))
  try {
    const index = createTestIndex()
    const checks: Comparing['checks'] & Judging['checks'] = []
    const judge = createJudge({ register, fileNames: request.surveys, records, tests, index, tally, checks })
    for (const { refused: row, table } of refused) judge.refusedInTable(row, table)
    const reading = { ...options, ...zonesOf(register) }
    register.soils = await readSoils(inputs, reading)
    for (const [file, input] of inputs.entries()) await readSurveyFile(input, file, reading, judge, tools)

    const findings = createFindingsByRecord(found)
    const { asOfMs } = request
    const { cores } = around
    const comparing: Comparing = { index, tests, register, parameters, asOfMs, findings, checks, cores }
    progress.start('Comparing', index.siteCount)
    await compareTests(comparing, progress.at)
    progress.stop()

    let nth = 0
    for (const line of records.lines()) {
      const fromHistory = findings.of(nth++)
      const full =
        fromHistory.length === 0 && report.line
          ? report.line(line)
          : report.record(withFindings(JSON.parse(line) as CheckRecord, fromHistory, tally))
      if (full) await full
      if (nth % TURN_EVERY === 0) await turn()
    }
    await report.end(tally)
    return tally
  } finally {
    for (const spill of [records, tests, found]) spill.close()
  }
}

function withFindings(record: CheckRecord, fromHistory: JudgedSurvey['findings'], tally: Tally): CheckRecord {
  if (record.kind !== 'survey' || fromHistory.length === 0) return record
  const findings = mergeFindings(record.findings, fromHistory)
  recountFindings(tally, record.findings, findings)
  return { ...record, findings }
}

function refuseTwoStandardInputs(request: CheckRequest): void {
  const { register, instruments, limits, works, parameters, columnMap, surveys } = request
  const named = [register, instruments, limits, works, parameters, columnMap, ...surveys]
  if (named.filter((name) => name === '-').length > 1)
    throw new CannotRun('Only one file can be standard input (-). Give the others by name.')
}
