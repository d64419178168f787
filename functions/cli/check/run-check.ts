import { setImmediate as turn } from 'node:timers/promises'
import type { JudgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import { mergeFindings } from '../../../shared-lib/history/merge-findings.ts'
import { CannotRun } from '../exit-status.ts'
import { type InputFile, openInput } from '../files/input-file.ts'
import { createSpill } from '../files/spill.ts'
import type { Workspace } from '../files/workspace.ts'
import type { Surroundings } from '../surroundings.ts'
import type { Progress } from '../terminal/progress.ts'
import type { ComparedBy } from './compare-site.ts'
import { type Comparing, compareTests } from './compare-tests.ts'
import { createFindingsByRecord } from './findings-by-record.ts'
import { preferMemoryFor } from './frugal.ts'
import { judgeSurvey } from './judge-survey.ts'
import { createJudge, type Judging } from './judge-surveys.ts'
import { readParameters, readSurveyOptions, type SurveyOptions } from './read-options.ts'
import { type RegisterFiles, readRegisterBooks, zonesOf } from './read-register-books.ts'
import { readSoils } from './read-soils.ts'
import type { CheckRecord } from './record.ts'
import type { Report } from './report.ts'
import { type SecondThread, startSecondThread } from './second-thread.ts'
import { lookThrough, readSurveyFile, type ScannedFile } from './survey-file.ts'
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

/** Survey files from which a second thread is worth its start: some 5,000 surveys. */
const SHARED_FROM_BYTES = 512 * 1024

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
  const inputBytes = inputs.reduce((bytes, input) => bytes + input.byteLength, 0)
  preferMemoryFor(inputBytes)
  const tally = newTally()
  const { register, refused } = await readRegisterBooks(request, {
    open,
    tell: tools.tell,
    nowMs: around.nowMs(),
  })

  const records = createSpill(workspace.path('records'))
  const tests = createSpill(workspace.path('tests'))
  const found = createSpill(workspace.path('findings'))
  let second: SecondThread | null = null
  try {
    const index = createTestIndex()
    const checks: Comparing['checks'] & Judging['checks'] = []
    const reading = { ...options, ...zonesOf(register) }
    const files: ScannedFile[] = []
    for (const input of inputs) files.push(await lookThrough(input, reading, progress))
    register.soils = await readSoils(files, reading)
    const by: ComparedBy = { calibrations: register.calibrations, parameters, asOfMs: request.asOfMs }
    second = around.cores > 1 && inputBytes >= SHARED_FROM_BYTES ? startSecondThread({ register, by }) : null
    const judge = createJudge({
      judge: second?.judge ?? ((surveys) => surveys.map((survey) => judgeSurvey(survey, register))),
      ...{ fileNames: request.surveys, records, tests, index, tally, checks },
    })
    for (const { refused: row, table } of refused) judge.refusedInTable(row, table)
    for (const [nth, file] of files.entries()) await readSurveyFile(file, nth, reading, judge, tools)
    await judge.settled()

    const findings = createFindingsByRecord(found)
    const comparing: Comparing = { index, tests, register, by, findings, checks, second }
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
    await second?.close()
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
