import { assembleSurvey } from './assemble-survey.ts'
import { MOST_READINGS } from './check-survey.ts'
import { contentHash } from './content-id.ts'
import { type CsvRow, createRowReader, isBlank } from './csv-rows.ts'
import type { FilePlan, ReadOptions } from './file-plan.ts'
import { type Refused, refusedAt, refusedFile } from './refused.ts'
import { type Scanned, scanSurveyText, troubleRefused } from './scan.ts'
import { type OpenSource, plainText, textOf } from './source.ts'
import { type Survey, subjectOf } from './survey.ts'
import type { SurveyRow } from './survey-draft.ts'
import { createRefTracker } from './survey-ref.ts'

/** One thing a file holds: a survey taken in, or a refusal. Several refusals may tell of one survey (`surveyRef`). */
export type SurveyEntry = { kind: 'survey'; survey: Survey; rows: { first: number; last: number } } | Refused

interface SurveyReader {
  push(text: string): SurveyEntry[]
  end(): SurveyEntry[]
}

/** Long form: all rows of one reference are one survey. */
function longEntries(ref: string, rows: SurveyRow[], plan: FilePlan, options: ReadOptions): SurveyEntry[] {
  const made = assembleSurvey(ref, rows, plan, options)
  if (!made.ok) return made.refused
  return [{ kind: 'survey', survey: made.survey, rows: { first: rows[0]!.row, last: rows.at(-1)!.row } }]
}

/** Wide form: each row is a survey. Said twice alike it is one; said otherwise of the same electrode, the later is refused. */
function wideEntries(ref: string, rows: SurveyRow[], plan: FilePlan, options: ReadOptions): SurveyEntry[] {
  const entries: SurveyEntry[] = []
  const seen = new Map<string, { hash: string; row: number }>()
  for (const row of rows) {
    const made = assembleSurvey(ref, [row], plan, options)
    if (!made.ok) {
      entries.push(...made.refused)
      continue
    }
    const { survey } = made
    const entry: SurveyEntry = { kind: 'survey', survey, rows: { first: row.row, last: row.row } }
    if (rows.length === 1) return [entry]
    const subject = subjectOf(survey)
    const key = `${subject?.kind} ${subject?.id}`
    const hash = contentHash(survey)
    const earlier = seen.get(key)
    if (!earlier) {
      seen.set(key, { hash, row: row.row })
      entries.push(entry)
    } else if (earlier.hash !== hash) {
      const column = plan.layout.columnOf.get('surveyRef')?.heading ?? null
      const at = { row: row.row, column, value: ref, surveyRef: ref }
      entries.push(refusedAt(at, 'survey-conflict', { detail: String(earlier.row) }))
    }
  }
  return entries
}

/** Rows waiting for the rest of their survey. A count is shared by references with one hash: all of them are complete together. */
interface Waiting {
  seen: number
  byRef: Map<string, SurveyRow[]>
}

/** Rows of one reference as they arrive one after the other. */
interface Together {
  ref: string
  /** How many it has with all that share its hash. */
  needed: number
  rows: SurveyRow[]
}

const NONE: readonly SurveyEntry[] = []

/** Rows kept for one reference. What has more shares a reference by mistake, and must not fill the memory. */
const MOST_ROWS = 2 * MOST_READINGS

function tooManyRows(ref: string, first: SurveyRow, plan: FilePlan): Refused {
  const column = plan.layout.columnOf.get('surveyRef')?.heading ?? null
  const at = { row: first.row, column, value: ref, surveyRef: ref }
  return refusedAt(at, 'too-many-readings', { detail: String(MOST_READINGS) })
}

function createSurveyReader(plan: FilePlan, options: ReadOptions): SurveyReader {
  const reader = createRowReader(plan.delimiter)
  const refs = createRefTracker(plan)
  const waiting = new Map<number, Waiting>()
  /** Most surveys stand together in the file: such a one is put into no table. */
  let together: Together | null = null
  const entriesOf = plan.form === 'wide' ? wideEntries : longEntries
  let run = 0
  let above: string | null = null

  function add(ref: string, row: SurveyRow): readonly SurveyEntry[] {
    // A row of no survey stands alone: it cannot be known which it belongs to.
    if (ref === '') return refusedRow(row)
    if (together && together.ref !== ref) putAside()
    if (!together) {
      const needed = plan.counts.get(ref)
      if (waiting.has(plan.counts.key(ref)) || needed > MOST_ROWS) return addApart(ref, row)
      together = { ref, needed, rows: [] }
    }
    together.rows.push(row)
    if (together.rows.length < together.needed) return NONE
    const { rows } = together
    together = null
    return entriesOf(ref, rows, plan, options)
  }

  /** Another survey begins before this one is complete. */
  function putAside(): void {
    const { ref, rows } = together!
    together = null
    waiting.set(plan.counts.key(ref), { seen: rows.length, byRef: new Map([[ref, rows]]) })
  }

  function addApart(ref: string, row: SurveyRow): SurveyEntry[] {
    const key = plan.counts.key(ref)
    const group = waiting.get(key) ?? { seen: 0, byRef: new Map<string, SurveyRow[]>() }
    waiting.set(key, group)
    group.seen++
    const rows = group.byRef.get(ref)
    if (rows && rows.length > MOST_ROWS) rows[MOST_ROWS] = row
    else if (rows) rows.push(row)
    else group.byRef.set(ref, [row])
    if (group.seen < plan.counts.get(ref)) return []
    waiting.delete(key)
    const entries: SurveyEntry[] = []
    for (const [each, its] of group.byRef) {
      if (its.length > MOST_ROWS) entries.push(tooManyRows(each, its[0]!, plan))
      else entries.push(...entriesOf(each, its, plan, options))
    }
    return entries
  }

  function refusedRow(row: SurveyRow): SurveyEntry[] {
    const made = assembleSurvey('', [row], plan, options)
    return made.ok ? [] : made.refused
  }

  function take(
    result: { rows: CsvRow[] } | { trouble: Parameters<typeof troubleRefused>[0] },
  ): SurveyEntry[] {
    if ('trouble' in result) return [troubleRefused(result.trouble)]
    const entries: SurveyEntry[] = []
    for (const row of result.rows) {
      if (row.row <= plan.headerRow || isBlank(row.cells)) continue
      const ref = refs.next(row.cells)
      if (ref !== above) run++
      above = ref
      if (ref === null) continue
      const placed = row as SurveyRow
      placed.run = run
      for (const entry of add(ref, placed)) entries.push(entry)
    }
    return entries
  }

  return {
    push: (text) => take(reader.push(text)),
    end() {
      const entries = take(reader.end())
      // Only a file that changed between the two looks leaves rows waiting.
      if (together || waiting.size > 0) entries.push(refusedFile('file-changed'))
      return entries
    },
  }
}

/**
 * Reads the surveys of a file that `scanSurveyFile` has looked through. Entries come in the order in which surveys are complete;
 * each survey once. `options` are those of the scan. Memory holds the rows of surveys not yet complete: in a file whose surveys stand together, one survey.
 * Errors of `open` itself are thrown on.
 */
export async function* readSurveys(
  open: OpenSource,
  plan: FilePlan,
  options: ReadOptions = {},
): AsyncGenerator<SurveyEntry> {
  const reader = createSurveyReader(plan, options)
  for await (const text of textOf(open, plan.encoding)) {
    if (text === null) {
      yield refusedFile('file-changed')
      return
    }
    yield* reader.push(text)
  }
  yield* reader.end()
}

/** The whole of a small text at once, for a form or a browser. A file refused as a whole is one refusal. */
export function readSurveysFromText(
  text: string,
  options: ReadOptions = {},
): { entries: SurveyEntry[]; scanned: Scanned } {
  const scanned = scanSurveyText(text, options)
  if (!scanned.ok) return { entries: [scanned.refused], scanned }
  const reader = createSurveyReader(scanned.plan, options)
  return { entries: [...reader.push(plainText(text)), ...reader.end()], scanned }
}
