import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createWriteStream } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { makeFleet } from '../service/fleet.ts'

/**
 * How long `stakeline check` takes over a file of many surveys, and the most memory it holds.
 *
 *   npx node tests/bench/check-memory.ts [ROWS=100000]
 */

const TESTS_EACH = 20
const rows = Number(process.argv[2] ?? 100_000)
/** Prints the process's largest resident set as it ends. */
const METER = `data:text/javascript,${encodeURIComponent(
  'process.on("exit", () => process.stderr.write("maxRssMb " + Math.round(process.resourceUsage().maxRSS / 1024)))',
)}`

const folder = await mkdtemp(join(tmpdir(), 'stakeline-bench-'))
try {
  const register = join(folder, 'electrodes.csv')
  const surveys = join(folder, 'surveys.csv')
  const fleet = makeFleet(Math.ceil(rows / TESTS_EACH), TESTS_EACH)
  await writeFile(register, fleet.registerCsv)
  const out = createWriteStream(surveys)
  out.write(`${fleet.header}\n`)
  for (const row of fleet.rows.slice(0, rows)) if (!out.write(`${row}\n`)) await once(out, 'drain')
  out.end()
  await once(out, 'close')

  const startedMs = performance.now()
  const child = spawn(
    process.execPath,
    [
      ...['--import', METER, resolve('functions/cli/stakeline.mjs'), 'check'],
      ...['--register', register, '--surveys', surveys, '--json'],
    ],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  )
  let lines = 0
  child.stdout.on('data', (chunk: Buffer) => {
    for (const byte of chunk) if (byte === 0x0a) lines++
  })
  let said = ''
  child.stderr.on('data', (chunk: Buffer) => {
    said += chunk
  })
  const [status] = await once(child, 'close')
  const seconds = (performance.now() - startedMs) / 1000
  const maxRssMb = Number(/maxRssMb (\d+)/.exec(said)?.[1])
  console.log(JSON.stringify({ rows, status, lines, seconds: +seconds.toFixed(1), maxRssMb }))
  if (status !== 0 || lines !== rows) process.exitCode = 1
} finally {
  await rm(folder, { recursive: true, force: true })
}
