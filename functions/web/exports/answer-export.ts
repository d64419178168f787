import type { Context } from 'hono'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import { csvParts } from '../csv-answer.ts'
import type { WebDeps } from '../deps.ts'
import { respondProblem } from '../pages/respond.ts'
import { paths } from '../pages/view/paths.ts'
import { problem } from '../problems.ts'
import type { WebEnv } from '../web-env.ts'
import { askForExport } from './ask-for-export.ts'
import { EXPORT_KINDS, type ExportWhat } from './export-kinds.ts'
import { jobAnswer } from './job-answer.ts'

const ENOUGH_TODAY =
  'This is longer than one answer, and as many files were made for you in the last 24 hours as one person may have. Fetch one of those, or ask for less.'

/**
 * An export now, where it fits into one answer; else it is made as a file, and the answer leads to where it can be followed: a
 * browser to a page, a program (202) to the API. On one machine an answer may have any length: it streams, which is sooner there, and
 * nothing is kept that would have to be removed.
 */
export async function answerExport(
  c: Context<WebEnv>,
  deps: WebDeps,
  person: Person,
  what: ExportWhat,
): Promise<Response> {
  // What makes the files reads much: it is read itself when somebody asks for one.
  const { EXPORT_PARTS } = await import('./export-parts.ts')
  const parts = EXPORT_PARTS[what.kind]({ deps, person, nowMs: deps.clock.nowMs() }, what.query)
  const whole = await csvParts(c, deps, EXPORT_KINDS[what.kind].fileName, parts)
  if (whole) return whole
  const { exports } = deps
  if (!exports) throw new Error('answers are bounded here and nothing makes files')
  const asked = await askForExport({ ...deps, exports }, person, what)
  const inBrowser = /\btext\/html\b/.test(c.req.header('Accept') ?? '')
  if (asked.kind === 'too-many')
    return inBrowser
      ? respondProblem(c, deps, 'too-many', ENOUGH_TODAY)
      : problem(c, 'too-many', { detail: ENOUGH_TODAY, headers: { 'Retry-After': String(asked.waitS) } })
  if (inBrowser) return c.redirect(paths.export(asked.job.id), 303)
  const Location = `/api/exports/${encodeURIComponent(asked.job.id)}`
  return c.json(jobAnswer(asked.job), 202, { Location, 'Retry-After': '5', 'Cache-Control': 'no-store' })
}
