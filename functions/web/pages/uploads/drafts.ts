import type { Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { declaredOptions } from '../../../../shared-lib/ledger/read-upload.ts'
import { readOptions } from '../../api/upload-options.ts'
import { handInDraft, seesUpload } from '../../receive-upload.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths, withQuery } from '../view/paths.ts'
import { pointedMap } from './column-choices.ts'
import { columnName } from './column-pointing.ts'
import { type DraftPageParts, draftPage } from './draft-page.ts'
import { readFileHead } from './file-head.ts'
import { keepOwnMap, ownOptionsFor } from './own-column-map.ts'
import { previewUpload } from './preview-upload.ts'

export async function showDraft(
  call: PageCall,
  draft: Upload,
  wrong: Pick<DraftPageParts, 'typed' | 'problems'> = {},
): Promise<Response> {
  const { c, deps, frame } = call
  const preview = await previewUpload(draft, deps)
  const mapFromBefore = queryPart(c, 'columns') === 'before'
  const isWrong = (wrong.problems?.length ?? 0) > 0
  const body = draftPage({ upload: draft, preview, mapFromBefore, ...wrong })
  const title = draft.fileName || 'A file, looked through'
  return respond(
    c,
    frame,
    { title, section: paths.uploads, body, wrong: isWrong, scripts: ['upload'] },
    isWrong ? 422 : 200,
  )
}

/** Where a fresh draft is looked at: with the sender's own column map put in when that fits the file. */
export async function draftAddress(call: PageCall, draft: Upload): Promise<string> {
  const { deps, person } = call
  const address = paths.upload(draft.id)
  if (draft.options.columnMap !== undefined) return address
  const head = await readFileHead(() => deps.archive.open(draft.archiveKey), undefined)
  const own = await ownOptionsFor(deps.ledger, person, head.headings)
  if (!own) return address
  // What was declared for this very file counts more than what was declared for the last.
  await deps.ledger.changeDraft({ ...draft, options: { ...own, ...draft.options } })
  return withQuery(address, { columns: 'before' })
}

/** The sender's own draft; anything else is answered here. */
async function ownDraft(call: PageCall): Promise<Upload | Response> {
  const { c, deps, person } = call
  const upload = await deps.ledger.getUpload(pathPart(c, 'id'))
  if (!upload || !seesUpload(person, upload)) return respondProblem(c, deps, 'not-found')
  if (upload.by !== person.id) return respondProblem(c, deps, 'upload-not-yours')
  // Handed in already, perhaps in another tab: what became of it is what there is to see.
  return upload.state === 'draft' ? upload : c.redirect(paths.upload(upload.id), 303)
}

export async function lookAgain(call: PageCall): Promise<Response> {
  const { c, deps } = call
  const draft = await ownDraft(call)
  if (draft instanceof Response) return draft
  const data = await c.req.formData().catch(() => null)
  const text = (name: string) => String(data?.get(name) ?? '').trim()
  const typed = { decimalSign: text('decimalSign'), datePattern: text('datePattern') }
  const before = declaredOptions(draft.options).columnMap
  const head = await readFileHead(() => deps.archive.open(draft.archiveKey), before)
  const columnMap = pointedMap(head, (index) => text(columnName(index)), before)
  const read = await readOptions(deps.ledger, {
    ...typed,
    ...(columnMap ? { columnMap: JSON.stringify(columnMap) } : {}),
  })
  if ('troubles' in read) {
    const problems = read.troubles.map((t): FormProblem => {
      const fieldId = t.pointer.slice(1)
      return { fieldId: fieldId === 'columnMap' ? columnName(0) : fieldId, message: t.detail }
    })
    return showDraft(call, draft, { typed, problems })
  }
  await deps.ledger.changeDraft({ ...draft, options: { ...read.options } })
  return c.redirect(paths.upload(draft.id), 303)
}

export async function handIn(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const draft = await ownDraft(call)
  if (draft instanceof Response) return draft
  await keepOwnMap(deps.ledger, person, declaredOptions(draft.options))
  await handInDraft(deps, draft)
  return c.redirect(paths.upload(draft.id), 303)
}
