import { seesBeyondSites } from '../../access.ts'
import { readOptions } from '../../api/upload-options.ts'
import { visibleMaps } from '../../own-map-name.ts'
import { receiveUpload, seesUpload } from '../../receive-upload.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths } from '../view/paths.ts'
import { draftAddress, showDraft } from './drafts.ts'
import { showUpload } from './show-upload.ts'
import { tooLarge } from './too-large.ts'
import { type UploadListParts, uploadList } from './upload-list.ts'

export { handIn, lookAgain } from './drafts.ts'
export { downloadProblems, downloadRows, mend } from './mending.ts'

const PAGE_SIZE = 20

/** The list of uploads with its form: what was typed and what is wrong with it, when a file could not be taken. */
export async function showList(
  call: PageCall,
  wrong: Pick<UploadListParts, 'typed' | 'problems'> = {},
): Promise<Response> {
  const { c, deps, person, frame } = call
  const cursor = queryPart(c, 'cursor')
  const listed = await deps.ledger.listUploads({
    limit: PAGE_SIZE,
    ...(cursor === undefined ? {} : { cursor }),
    ...(seesBeyondSites(person) ? {} : { by: person.id }),
  })
  const page = { ...listed, items: listed.items.filter((upload) => seesUpload(person, upload)) }
  const maps = visibleMaps(await deps.ledger.listColumnMaps(), person)
  const body = uploadList({
    page,
    columnMaps: maps.map((m) => m.name),
    query: cursor === undefined ? {} : { cursor },
    nowMs: frame.nowMs,
    maxUploadBytes: deps.settings.maxUploadBytes,
    mayRegister: person.role === 'admin',
    ...wrong,
  })
  const isWrong = (wrong.problems?.length ?? 0) > 0
  return respond(
    c,
    frame,
    { title: 'Uploads', section: paths.uploads, body, wrong: isWrong, scripts: ['upload'] },
    isWrong ? 422 : 200,
  )
}

/** Takes a file from the form: kept as a draft to be looked through, or handed in at once. */
export async function take(call: PageCall): Promise<Response> {
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
    ...(data.get('action') === 'look' ? { draft: true as const } : {}),
  })
  if (received.kind === 'received') {
    const { upload } = received
    const address = upload.state === 'draft' ? await draftAddress(call, upload) : paths.upload(upload.id)
    return c.redirect(address, 303)
  }
  const message = received.kind === 'empty' ? 'Choose a CSV file that is not empty.' : tooLarge(deps)
  return showList(call, { problems: [{ fieldId: 'file', message }], typed })
}

/** One upload: looked through while it is a draft, followed once it is handed in. */
export async function one(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const upload = await deps.ledger.getUpload(pathPart(c, 'id'))
  if (!upload || !seesUpload(person, upload)) return respondProblem(c, deps, 'not-found')
  return upload.state === 'draft' ? showDraft(call, upload) : showUpload(call, upload)
}
