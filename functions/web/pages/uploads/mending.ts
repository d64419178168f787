import type { RefusedRow, Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { declaredOptions } from '../../../../shared-lib/ledger/read-upload.ts'
import type { FilePlan } from '../../../../shared-lib/survey/file-plan.ts'
import { scanSurveyFile } from '../../../../shared-lib/survey/scan.ts'
import { csvParts } from '../../csv-answer.ts'
import type { WebDeps } from '../../deps.ts'
import { answerExport } from '../../exports/answer-export.ts'
import { refusedPages } from '../../exports/refused-export.ts'
import { receiveUpload, seesUpload } from '../../receive-upload.ts'
import { type PageCall, pathPart, respondProblem } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { mendRefused, refusedSurveysCsv } from './refused-surveys.ts'
import { FIX_PREFIX, OF_PREFIX } from './refused-table.ts'
import { showUpload } from './show-upload.ts'

const MEND_THE_FILE =
  'Mend the file itself by the rows shown here, and hand it in again: what is there already changes nothing.'

async function visible({ c, deps, person }: PageCall): Promise<Upload | null> {
  const upload = await deps.ledger.getUpload(pathPart(c, 'id'))
  return upload && seesUpload(person, upload) ? upload : null
}

async function allRefused(deps: WebDeps, uploadId: string): Promise<RefusedRow[]> {
  const all: RefusedRow[] = []
  for await (const rows of refusedPages(deps, uploadId)) all.push(...rows)
  return all
}

/** Null where the file as a whole could not be read: then there are no rows to speak of. */
async function planOf(deps: WebDeps, upload: Upload): Promise<FilePlan | null> {
  const scanned = await scanSurveyFile(
    () => deps.archive.open(upload.archiveKey),
    declaredOptions(upload.options),
  )
  return scanned.ok ? scanned.plan : null
}

/** What was typed beside the refused cells, by refusal. */
function fixesIn(data: FormData): Map<string, string> {
  const fixes = new Map<string, string>()
  for (const [name, value] of data) {
    if (!name.startsWith(FIX_PREFIX) || typeof value !== 'string' || value.trim() === '') continue
    const of = data.get(OF_PREFIX + name.slice(FIX_PREFIX.length))
    if (typeof of === 'string') fixes.set(of, value.trim())
  }
  return fixes
}

export async function mend(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const upload = await visible(call)
  if (!upload) return respondProblem(c, deps, 'not-found')
  const data = await c.req.formData().catch(() => null)
  const fixes = data ? fixesIn(data) : new Map<string, string>()
  const nothingTyped = [
    { fieldId: `${FIX_PREFIX}0`, message: 'Write what at least one cell should say, then hand it in.' },
  ]
  if (fixes.size === 0) return showUpload(call, upload, nothingTyped)
  const plan = await planOf(deps, upload)
  if (!plan) return respondProblem(c, deps, 'not-found', 'No row of this file could be read.')
  const refused = await allRefused(deps, upload.id)
  const mended = await mendRefused(() => deps.archive.open(upload.archiveKey), plan, refused, fixes)
  if (!mended) return showUpload(call, upload, nothingTyped)
  const received = await receiveUpload(deps, person, {
    fileName: `mended: ${upload.fileName}`.slice(0, 200),
    bytes: new Blob([mended.csv]).stream(),
    // Few rows may not show the decimal sign that the whole file has shown.
    options: { ...upload.options, ...(plan.decimalSign ? { decimalSign: plan.decimalSign } : {}) },
    // Part of a file that was taken before, with cells of ours.
    mostBytes: Number.POSITIVE_INFINITY,
    mends: upload.id,
  })
  if (received.kind !== 'received') throw new Error('a mended file was empty')
  return c.redirect(paths.upload(received.upload.id), 303)
}

/** Everything that was refused: no cap. */
export async function downloadProblems(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const upload = await visible(call)
  if (!upload) return respondProblem(c, deps, 'not-found')
  return answerExport(c, deps, person, { kind: 'refused', query: { upload: upload.id } })
}

export async function downloadRows(call: PageCall): Promise<Response> {
  const { c, deps } = call
  const upload = await visible(call)
  if (!upload) return respondProblem(c, deps, 'not-found')
  const plan = await planOf(deps, upload)
  if (!plan) return respondProblem(c, deps, 'not-found', 'No row of this file could be read.')
  const refused = await allRefused(deps, upload.id)
  const rows = refusedSurveysCsv(() => deps.archive.open(upload.archiveKey), plan, refused)
  const whole = await csvParts(c, deps, `refused-rows-${upload.id}.csv`, rows)
  return whole ?? respondProblem(c, deps, 'too-much-to-send', MEND_THE_FILE)
}
