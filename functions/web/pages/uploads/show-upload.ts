import type { RefusedRow, Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { type PageCall, respond } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths } from '../view/paths.ts'
import { isFinished, uploadPage } from './upload-page.ts'

/** Problems grouped on the page; the downloads have all. */
const MOST_GROUPED = 1000
const READ_AT_ONCE = 200

/** The page of an upload as it stands. While work goes on it looks again by itself. */
export async function showUpload(
  { c, deps, frame }: PageCall,
  upload: Upload,
  problems: readonly FormProblem[] = [],
): Promise<Response> {
  const refused: RefusedRow[] = []
  let cursor: string | null | undefined
  while (cursor !== null && refused.length < MOST_GROUPED) {
    const page = await deps.ledger.listRefused(upload.id, {
      limit: READ_AT_ONCE,
      ...(cursor ? { cursor } : {}),
    })
    refused.push(...page.items)
    cursor = page.next
  }
  const isWrong = problems.length > 0
  const body = uploadPage({ upload, refused, refusedMore: cursor !== null, problems })
  return respond(
    c,
    frame,
    {
      title: upload.fileName || 'Upload',
      section: paths.uploads,
      body,
      wrong: isWrong,
      scripts: ['upload'],
      ...(isFinished(upload) ? {} : { refreshS: 2 }),
    },
    isWrong ? 422 : 200,
  )
}
