import type { Difference } from '../../../functions/cli/one-machine.ts'
import type { Parameters } from '../../../shared-lib/history/assessment.ts'
import { type BooksReader, createBooksReader } from '../../../shared-lib/ledger/books.ts'
import { knownTestOf } from '../../../shared-lib/ledger/judge-record.ts'
import { type ElectrodeJudgement, judgeSite } from '../../../shared-lib/ledger/judge-site.ts'
import type { ElectrodeFile } from '../../../shared-lib/ledger/kept/electrode.ts'
import type { Ledger } from '../../../shared-lib/ledger/ledger.ts'
import { sameJson } from '../../../shared-lib/ledger/same-json.ts'
import {
  type ElectrodeHistory,
  emptyHistory,
  type KnownTest,
  packTests,
  unpackTests,
  withTests,
} from '../../../shared-lib/ledger/site-history.ts'
import { verifySurvey } from './verify-surveys.ts'

type Tell = (difference: Difference) => void

/** What a comparison would know of an electrode if nothing but its surveys, works and decisions were stored. */
async function historyAnew(file: ElectrodeFile, reader: BooksReader, tell: Tell): Promise<ElectrodeHistory> {
  const { electrode } = file.record
  const known: KnownTest[] = []
  for (const record of file.surveys) {
    const found = await reader.booksFor(record.survey)
    if (found) known.push(knownTestOf(verifySurvey(record, found.books, tell), electrode.siteId))
  }
  // By way of the short form in which comparisons keep tests.
  const tests = unpackTests(packTests(withTests([], known)), electrode)
  return { ...emptyHistory(electrode), tests, works: file.works, decisions: file.decisions }
}

/** The review queue, the assessment and the dates of one electrode beside what follows from its surveys. */
function verifyJudgement(file: ElectrodeFile, anew: ElectrodeJudgement, tell: Tell): void {
  const { electrodeId } = file.record.electrode
  const differs = (what: string, surveyRef: string | null, problem: string) =>
    tell({ kind: 'difference', what, subject: electrodeId, surveyRef, problem })
  const stored = file.storedFindings ?? {}
  const shall = anew.assessment.findings
  for (const ref of new Set([...Object.keys(stored), ...Object.keys(shall)]))
    if (!sameJson(stored[ref] ?? [], shall[ref] ?? []))
      differs('assessment', ref, 'the stored findings against earlier tests are not what follows from them.')
  if (!sameJson(file.assessment?.series ?? [], anew.next.series))
    differs('assessment', null, 'the stored summary of the series is not what follows from the tests.')

  const wanted = new Map(anew.put.map((w) => [`${w.surveyRef} ${w.finding.code}`, w]))
  for (const finding of file.findings) {
    const key = `${finding.surveyRef} ${finding.code}`
    const follows = wanted.get(key)
    wanted.delete(key)
    if (!follows)
      differs(
        'finding',
        finding.surveyRef,
        `${finding.code} is in the queue and does not follow from the surveys.`,
      )
    else if (follows.state !== finding.state || follows.finding.severity !== finding.severity)
      differs(
        'finding',
        finding.surveyRef,
        `${finding.code} is stored as ${finding.severity} and ${finding.state}; ${follows.finding.severity} and ${follows.state} follows.`,
      )
  }
  for (const { surveyRef, finding } of wanted.values())
    differs('finding', surveyRef, `${finding.code} follows from the surveys and is not in the queue.`)

  const { lastTestedAt, dueOn } = file.record
  if (lastTestedAt !== anew.next.lastTestedAt || dueOn !== anew.next.dueOn)
    differs(
      'dates',
      null,
      `last tested ${lastTestedAt ?? 'never'}, due ${dueOn ?? 'never'} is stored; ${anew.next.lastTestedAt ?? 'never'}, ${anew.next.dueOn ?? 'never'} follows.`,
    )
}

/**
 * One site worked out anew: each survey by itself, then the site's electrodes against their earlier tests and each other. While
 * something of the site waits to be compared, only the surveys are looked at.
 */
export async function verifySite(
  ledger: Ledger,
  siteId: string,
  electrodeIds: readonly string[],
  parameters: Parameters,
  tell: Tell,
): Promise<{ surveys: number; waiting: number }> {
  const files = (await Promise.all(electrodeIds.map((id) => ledger.readElectrodeFile(id)))).filter(
    (file) => file !== null,
  )
  const instruments = new Set(files.flatMap((f) => f.surveys.flatMap((s) => s.survey.instrumentId ?? [])))
  const calibrations = (await Promise.all([...instruments].map((id) => ledger.getCalibrations(id)))).flat()
  const reader = createBooksReader(ledger)
  const histories: ElectrodeHistory[] = []
  for (const file of files) histories.push(await historyAnew(file, reader, tell))
  const surveys = files.reduce((sum, file) => sum + file.surveys.length, 0)

  const marked = new Set((await ledger.marksOfSite(siteId)).map((m) => m.electrodeId))
  const waiting = files.filter(
    (file) =>
      marked.has(file.record.electrode.electrodeId) ||
      file.surveys.some((s) => !file.compared.has(s.survey.surveyRef)),
  ).length
  if (waiting > 0) return { surveys, waiting }
  const judged = judgeSite(histories, calibrations, parameters)
  for (const [i, anew] of judged.entries()) verifyJudgement(files[i]!, anew, tell)
  return { surveys, waiting }
}
