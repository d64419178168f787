import type { Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { tooLarge } from './too-large.ts'

/** Room for the form's own fields and boundaries around the file. */
const FORM_ROOM_BYTES = 20_000
const MENDED_BYTES = 2_000_000

// What these do reads files and their tables: it is read itself when somebody first asks for it.
const uploads = () => import('./uploads.ts')

/** Files of surveys: look through, read another way, point at columns, hand in, follow, mend or download what was refused. */
export function registerUploads(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(
    paths.uploads,
    signedIn(deps, async (call) => (await uploads()).showList(call)),
  )
  app.post(
    paths.uploads,
    bodyLimit({
      maxSize: deps.settings.maxUploadBytes + FORM_ROOM_BYTES,
      onError: (c) => respondProblem(c, deps, 'too-large', tooLarge(deps)),
    }),
    signedIn(deps, async (call) => (await uploads()).take(call)),
  )
  app.get(
    '/uploads/:id',
    signedIn(deps, async (call) => (await uploads()).one(call)),
  )
  app.post(
    '/uploads/:id/look',
    signedIn(deps, async (call) => (await uploads()).lookAgain(call)),
  )
  app.post(
    '/uploads/:id/hand-in',
    signedIn(deps, async (call) => (await uploads()).handIn(call)),
  )
  app.post(
    '/uploads/:id/mend',
    bodyLimit({ maxSize: MENDED_BYTES, onError: (c) => respondProblem(c, deps, 'too-large') }),
    signedIn(deps, async (call) => (await uploads()).mend(call)),
  )
  app.get(
    '/uploads/:id/refused.csv',
    signedIn(deps, async (call) => (await uploads()).downloadProblems(call)),
  )
  app.get(
    '/uploads/:id/refused-rows.csv',
    signedIn(deps, async (call) => (await uploads()).downloadRows(call)),
  )
}
