import type { Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { readOptions } from '../../api/upload-options.ts'
import type { WebDeps } from '../../deps.ts'
import { receiveUpload, seesUpload } from '../../receive-upload.ts'
import type { WebEnv } from '../../session.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { number } from '../view/format.ts'
import { paths } from '../view/paths.ts'
import { REFUSED_CSV_HEAD, refusedCsvLines } from './refused-csv.ts'
import { type UploadListParts, uploadList } from './upload-list.ts'
import { isFinished, uploadPage } from './upload-page.ts'

const PAGE_SIZE = 20
/** Room for the form's own fields and boundaries around the file. */
const FORM_ROOM_BYTES = 20_000

/** Files of surveys: hand in, follow, download what was refused. */
export function registerUploads(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(
    paths.uploads,
    signedIn(deps, (call) => showList(call, {})),
  )
  app.post(
    paths.uploads,
    bodyLimit({
      maxSize: deps.settings.maxUploadBytes + FORM_ROOM_BYTES,
      onError: (c) => respondProblem(c, deps, 'too-large', tooLarge(deps)),
    }),
    signedIn(deps, take),
  )
  app.get('/uploads/:id', signedIn(deps, one))
  app.get('/uploads/:id/refused.csv', signedIn(deps, download))
}

function tooLarge(deps: WebDeps): string {
  return `The file is larger than ${number(deps.settings.maxUploadBytes / 1_000_000, 3)} MB. Split it, or hand it in with “npx stakeline import FILE --to ${deps.settings.baseUrl}”.`
}

async function showList(
  call: PageCall,
  wrong: Pick<UploadListParts, 'typed' | 'problems'>,
): Promise<Response> {
  const { c, deps, person, frame } = call
  const cursor = queryPart(c, 'cursor')
  const all = person.role === 'quality' || person.role === 'admin'
  const page = await deps.ledger.listUploads({
    limit: PAGE_SIZE,
    ...(cursor === undefined ? {} : { cursor }),
    ...(all ? {} : { by: person.id }),
  })
  const maps = await deps.ledger.listColumnMaps()
  const body = uploadList({
    page,
    columnMaps: maps.map((m) => m.name),
    query: cursor === undefined ? {} : { cursor },
    nowMs: frame.nowMs,
    maxUploadBytes: deps.settings.maxUploadBytes,
    ...wrong,
  })
  const isWrong = (wrong.problems?.length ?? 0) > 0
  return respond(
    c,
    frame,
    { title: 'Uploads', section: paths.uploads, body, wrong: isWrong },
    isWrong ? 422 : 200,
  )
}

async function take(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const data = await c.req.formData().catch(() => null)
  if (data === null)
    return respondProblem(
      c,
      deps,
      'not-readable',
      'The file did not arrive whole. Go one page back and send it again.',
    )
  const file = data.get('file')
  const text = (name: string) => String(data.get(name) ?? '').trim()
  const typed = {
    decimalSign: text('decimalSign'),
    datePattern: text('datePattern'),
    columnMap: text('columnMap'),
  }
  const read = await readOptions(deps.ledger, typed)
  const problems: FormProblem[] = []
  if (!(file instanceof File) || file.size === 0)
    problems.push({ fieldId: 'file', message: 'Choose a CSV file that is not empty.' })
  for (const trouble of 'troubles' in read ? read.troubles : [])
    problems.push({ fieldId: trouble.pointer.slice(1), message: trouble.detail })
  if (!(file instanceof File) || 'troubles' in read || problems.length > 0)
    return showList(call, { problems, typed })
  const received = await receiveUpload(deps, person, {
    fileName: file.name.slice(0, 200),
    bytes: file.stream(),
    options: { ...read.options },
    mostBytes: deps.settings.maxUploadBytes,
  })
  if (received.kind === 'received') return c.redirect(paths.upload(received.upload.id), 303)
  const message = received.kind === 'empty' ? 'Choose a CSV file that is not empty.' : tooLarge(deps)
  return showList(call, { problems: [{ fieldId: 'file', message }], typed })
}

async function one(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const upload = await deps.ledger.getUpload(pathPart(c, 'id'))
  if (!upload || !seesUpload(person, upload)) return respondProblem(c, deps, 'not-found')
  const cursor = queryPart(c, 'cursor')
  const refused = await deps.ledger.listRefused(upload.id, {
    limit: PAGE_SIZE,
    ...(cursor === undefined ? {} : { cursor }),
  })
  const body = uploadPage({ upload, refused, query: cursor === undefined ? {} : { cursor } })
  return respond(c, frame, {
    title: upload.fileName || 'Upload',
    section: paths.uploads,
    body,
    ...(isFinished(upload) ? {} : { refreshS: 2 }),
  })
}

/** Everything that was refused, streamed from the store page by page: no cap. */
async function download(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const upload = await deps.ledger.getUpload(pathPart(c, 'id'))
  if (!upload || !seesUpload(person, upload)) return respondProblem(c, deps, 'not-found')
  const encoder = new TextEncoder()
  let cursor: string | null | undefined
  const body = new ReadableStream<Uint8Array>({
    start: (controller) => controller.enqueue(encoder.encode(REFUSED_CSV_HEAD)),
    async pull(controller) {
      const page = await deps.ledger.listRefused(upload.id, { limit: 200, ...(cursor ? { cursor } : {}) })
      controller.enqueue(encoder.encode(refusedCsvLines(page.items)))
      cursor = page.next
      if (cursor === null) controller.close()
    },
  })
  return c.body(body, 200, {
    'Content-Type': 'text/csv; charset=utf-8',
    'Content-Disposition': `attachment; filename="refused-${upload.id.replace(/[^\w-]/g, '')}.csv"`,
    'Cache-Control': 'no-store',
    'X-Content-Type-Options': 'nosniff',
  })
}
