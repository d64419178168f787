import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { measured, SEED } from '../faults/measured.ts'
import { tokensFor } from '../load/clients.ts'
import { csvOf, makeFleet } from '../service/fleet.ts'
import { startService, temporaryFolder } from '../service/service.ts'

/**
 * `npm run test:api [-- EXAMPLES]`: schemathesis (a Python tool, put into coverage/venv) makes calls of the running service from its
 * own OpenAPI description, EXAMPLES (default 40) a route, and looks whether each answer is one that the description names.
 */
const TOOL = 'schemathesis==4.32.5'
const examples = Number(process.argv[2] ?? 40)
const venv = resolve('coverage/venv')
const tool = join(venv, 'bin', 'schemathesis')

function must(command: string, args: string[]): void {
  const { status } = spawnSync(command, args, { stdio: 'inherit' })
  if (status !== 0) throw new Error(`${command} ${args[0]} ended with ${status}`)
}
if (!existsSync(tool)) {
  must('python3', ['-m', 'venv', venv])
  must(join(venv, 'bin', 'pip'), ['install', '--quiet', TOOL])
}

const folder = await temporaryFolder()
const service = await startService(folder.path)
try {
  const fleet = makeFleet(10, 4)
  const csv = { 'content-type': 'text/csv' }
  await service.json('admin', '/api/register', { method: 'POST', headers: csv, body: fleet.registerCsv })
  await service.json('field', '/api/uploads', { method: 'POST', headers: csv, body: csvOf(fleet) })
  const [token] = await tokensFor(folder.path, 'admin', 1)
  const { status, stdout } = spawnSync(
    tool,
    [
      'run',
      `${service.url}/api/openapi.json`,
      '--header',
      `Authorization: Bearer ${token}`,
      '--checks',
      'not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance',
      '--phases',
      'examples,coverage,fuzzing',
      '--max-examples',
      String(examples),
      '--seed',
      String(SEED),
      '--request-timeout',
      '20',
      '--no-color',
    ],
    // It keeps a cache where it runs.
    { cwd: resolve('coverage'), encoding: 'utf8', maxBuffer: 256 * 1024 * 1024 },
  )
  console.log(stdout.replaceAll(token!, '…'))
  const calls = Number(/(\d+) generated/.exec(stdout)?.[1] ?? 0)
  measured({
    what: 'schemathesis: calls from the OpenAPI description',
    command: 'npm run test:api',
    count: calls,
    bad: { 'answers outside the description': status === 0 ? 0 : 1 },
    seed: SEED,
  })
  process.exitCode = status ?? 1
} finally {
  await service.kill()
  await folder.remove()
}
