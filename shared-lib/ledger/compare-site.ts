import type { Assessment, Parameters } from '../history/assessment.ts'
import type { FindingCode } from '../survey/finding.ts'
import { findingId } from './finding-id.ts'
import { narrowingFacts } from './finding-rows.ts'
import { type ElectrodeJudgement, judgeSite, type WantedFinding } from './judge-site.ts'
import type { AssessmentChange, ElectrodeFile } from './kept/electrode.ts'
import type { FindingItem } from './kept/finding.ts'
import type { DueMark } from './kept/mark.ts'
import type { SurveyRecord } from './kept/survey.ts'
import type { Ledger } from './ledger.ts'
import { type NewSurvey, type OpenElectrode, type OpenSite, openSite } from './open-site.ts'
import { inParallel } from './parallel.ts'
import type { ParametersReader } from './parameters.ts'
import { sameJson } from './same-json.ts'
import { historyText } from './site-history.ts'
import type { Telling } from './tell-news.ts'

export interface ComparedSite {
  electrodes: number
  changed: number
}

const WRITES_AT_ONCE = 8

interface Comparing extends Telling {
  ledger: Ledger
  /** What judges, or what reads it when the marks are known. */
  parameters: Parameters | ParametersReader
  newId(): string
  nowIso(): string
}

/**
 * Judges a site anew where something is new about it, writes what differs, and clears the marks that were there before. Null when
 * there was nothing to do: an earlier message of a burst has done this one's work. Throws when somebody else has judged an electrode
 * meanwhile; a repeat then reads that electrode as a whole.
 */
export async function compareSite(
  run: Comparing,
  siteId: string,
  told: readonly NewSurvey[],
): Promise<ComparedSite | null> {
  const { ledger } = run
  // Marks first, all else after: what comes in between leaves a newer stamp, which is not cleared.
  const marks = await ledger.marksOfSite(siteId)
  const site = await openSite(ledger, siteId, marks, told)
  if (!site) return null
  const judgements = judgeSite(
    site.electrodes.map((e) => e.history),
    site.calibrations,
    typeof run.parameters === 'function' ? await run.parameters(whatWas(marks, site)) : run.parameters,
  )
  await bringSurveys(ledger, site.electrodes, judgements)
  const changed = await writeChanges(run, site, judgements)
  if (site.gone.length > 0) await ledger.dropHistories(siteId, site.gone)
  await ledger.clearMarks(marks)
  return { electrodes: site.electrodes.length, changed }
}

/** Writes what differs, and says how many electrodes that were. */
async function writeChanges(
  run: Comparing,
  site: OpenSite,
  judgements: readonly ElectrodeJudgement[],
): Promise<number> {
  const changes = site.electrodes.flatMap((open, i) => {
    const { change, news } = changeOf(open, judgements[i]!)
    return change ? [{ electrodeId: open.history.electrode.electrodeId, change, news }] : []
  })
  const news = changes.flatMap((c) => c.news)
  // Told-lists before the findings: a crash between the two repeats this whole step, and nothing is forgotten.
  if (news.length > 0) await run.beforeNews(news)
  const written = await inParallel(changes, WRITES_AT_ONCE, (c) =>
    run.ledger.writeAssessment(c.electrodeId, c.change),
  )
  const lost = changes.filter((_, i) => !written[i]).map((c) => c.electrodeId)
  if (lost.length > 0) {
    await run.ledger.markDue(lost, { stamp: run.newId(), nowIso: run.nowIso() })
    throw new Error(`judged by somebody else meanwhile: ${lost.join(', ')}`)
  }
  if (news.length > 0) await run.afterNews(news)
  return changes.length
}

const whatWas = (marks: readonly DueMark[], site: OpenSite) => ({
  judgedBy: new Set(site.electrodes.flatMap((e) => e.history.parametersVersion || [])),
  waits: marks.length > 0,
})

/** Reads the surveys whose findings are to be written and which are not at hand. */
async function bringSurveys(
  ledger: Pick<Ledger, 'getSurveys'>,
  electrodes: readonly OpenElectrode[],
  judgements: readonly ElectrodeJudgement[],
): Promise<void> {
  const missing = judgements.flatMap((j, i) => {
    const { electrodeId: id } = j.next.electrode
    const refs = new Set(j.put.map((w) => w.surveyRef).filter((ref) => !electrodes[i]!.surveys.has(ref)))
    return [...refs].map((surveyRef) => ({ subject: { kind: 'electrode' as const, id }, surveyRef }))
  })
  if (missing.length === 0) return
  const byElectrode = new Map(electrodes.map((e) => [e.history.electrode.electrodeId, e]))
  for (const record of await ledger.getSurveys(missing))
    byElectrode.get(record.subject.id)?.surveys.set(record.survey.surveyRef, record)
}

/** The finding as the review queue keeps it. */
function itemOf(wanted: WantedFinding, record: SurveyRecord, open: OpenElectrode): FindingItem {
  const { electrodeId, siteId, responsibleEmail } = open.history.electrode
  const { surveyRef, finding, own, state, closedBy } = wanted
  const words = own
    ? record.judged.findings.find((f) => f.code === own.code && f.severity === own.severity)
    : finding
  if (!words) throw new Error(`survey ${surveyRef} no longer says ${finding.code}`)
  return {
    ...words,
    id: findingId(electrodeId, surveyRef, finding.code),
    state,
    electrodeId,
    siteId,
    surveyRef,
    testedAt: record.survey.testedAt,
    openedAt: record.receivedAt,
    ...(responsibleEmail ? { responsibleEmail } : {}),
    ...narrowingFacts(record.survey),
    ...(closedBy ? { closedBy } : {}),
  }
}

/** What is to be written about one electrode, null for nothing; and which open findings are news. */
function changeOf(
  open: OpenElectrode,
  judgement: ElectrodeJudgement,
): { change: AssessmentChange | null; news: FindingItem[] } {
  const { next, assessment } = judgement
  const { electrodeId } = next.electrode
  const wanted = judgement.put.map((w) => {
    const record = open.surveys.get(w.surveyRef)
    if (!record) throw new Error(`survey ${w.surveyRef} of ${electrodeId} is known and not stored`)
    return { item: itemOf(w, record, open), graver: w.graver, known: w.known }
  })
  const removed = judgement.remove.map((r) => findingId(electrodeId, r.surveyRef, r.code as FindingCode))
  const { put, removeFindings, assessmentChanged } = open.file
    ? againstFile(open.file, wanted, assessment.findings)
    : { put: wanted, removeFindings: removed, assessmentChanged: judgement.assessmentChanged }
  const decided = new Set(next.decisions.map((d) => findingId(electrodeId, d.surveyRef, d.code)))
  const isNew = (w: Put) => !w.known && !decided.has(w.item.id)
  const news = put.filter((w) => w.graver && w.item.state === 'open').map((w) => w.item)
  const same =
    !assessmentChanged &&
    put.length + removeFindings.length + open.rejudged.length === 0 &&
    open.seen !== null &&
    open.seen.text === historyText(next)
  if (same) return { change: null, news: [] }
  return {
    news,
    change: {
      rejudged: open.rejudged,
      newFindings: put.filter(isNew).map((w) => w.item),
      putFindings: put.filter((w) => !isNew(w)).map((w) => w.item),
      removeFindings,
      assessment: assessmentChanged ? { findings: assessment.findings } : null,
      history: next,
      seen: open.seen,
    },
  }
}

type Put = { item: FindingItem; graver: boolean; known: boolean }

/** The difference to what the electrode's file says is stored, where that was read. */
function againstFile(
  file: ElectrodeFile,
  wanted: readonly Put[],
  findings: Assessment['findings'],
): { put: Put[]; removeFindings: string[]; assessmentChanged: boolean } {
  const before = new Map(file.findings.map((f) => [f.id, f]))
  const ids = new Set(wanted.map((w) => w.item.id))
  return {
    put: wanted
      .map(({ item }) => {
        const old = before.get(item.id)
        const graver = !old || (item.severity === 'urgent' && old.severity !== 'urgent')
        return { item, graver, known: old !== undefined }
      })
      .filter(({ item }) => !sameJson(item, before.get(item.id))),
    // What is said of an instrument does not follow from its site alone: `judge-instruments.ts` puts it there and takes it away.
    removeFindings: file.findings
      .filter((f) => !ids.has(f.id) && f.code !== 'instrument-bias')
      .map((f) => f.id),
    assessmentChanged: !sameJson(findings, file.storedFindings ?? {}),
  }
}
