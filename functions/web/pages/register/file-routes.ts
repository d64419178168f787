import type { Hono } from 'hono'
import type { WebDeps } from '../../deps.ts'
import type { RegisterTable } from '../../load-register-table.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import type { FilePageParts } from './file-page.ts'

/** Tables of the register as files, for administrators: what `POST /api/register` does, as a page. */
export function registerFilePage(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.registerFile, signedIn(deps, ask))
  app.post(paths.registerFile, signedIn(deps, take))
}

async function tableOf({ c }: PageCall): Promise<RegisterTable> {
  const { REGISTER_TABLES } = await office()
  return REGISTER_TABLES.find((name) => name === queryPart(c, 'table')) ?? 'electrodes'
}

async function ask(call: PageCall): Promise<Response> {
  if (call.person.role !== 'admin') return respondProblem(call.c, call.deps, 'role-not-allowed')
  return show(call, { table: await tableOf(call) })
}

async function take(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  if (person.role !== 'admin') return respondProblem(c, deps, 'role-not-allowed')
  const table = await tableOf(call)
  const wrong = (message: string) => show(call, { table, problems: [{ fieldId: 'file', message }] })
  const { readFile, loadRegisterTable } = await office()
  const sent = await readFile(c, deps.settings.maxUploadBytes, {})
  if ('problem' in sent) {
    if (sent.problem === 'not-as-described') return wrong('Choose a file first.')
    return respondProblem(c, deps, sent.problem, sent.words?.detail)
  }
  const chunks: Uint8Array[] = []
  for await (const chunk of sent.bytes) chunks.push(chunk)
  const bytes = Buffer.concat(chunks)
  if (bytes.byteLength === 0) return wrong('Choose a file first; an empty one says nothing.')
  const loaded = await loadRegisterTable(deps, person, table, bytes, {}, undefined)
  if ('barred' in loaded) return respondProblem(c, deps, loaded.barred)
  if ('siteOf' in loaded)
    return wrong(`Electrode “${loaded.siteOf}” is not at one of your sites. Nothing of the file was written.`)
  const whole = loaded.refused.find((r) => r.row === null)
  return whole ? wrong(whole.problem) : show(call, { table, loaded })
}

async function show({ c, frame }: PageCall, parts: FilePageParts): Promise<Response> {
  const { filePage } = await office()
  const wrong = (parts.problems ?? []).length > 0
  const page = {
    title: 'The register as CSV',
    section: paths.electrodes,
    body: filePage(parts),
    wrong,
  }
  return respond(c, frame, page, wrong ? 422 : 200)
}
