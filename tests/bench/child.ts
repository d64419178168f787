import { spawn } from 'node:child_process'
import { once } from 'node:events'

export interface ChildRun {
  status: number | null
  seconds: number
  maxRssMb: number
  /** The first characters of what it wrote to stdout. */
  said: string
  /** Lines on stdout. */
  lines: number
}

/** Prints the process's largest resident set as it ends. Compiled code is kept between runs for all alike, as the tool itself does. */
const METER = `data:text/javascript,${encodeURIComponent(
  'import { enableCompileCache } from "node:module";enableCompileCache("node_modules/.cache/stakeline");process.on("exit", () => process.stderr.write("maxRssMb " + Math.round(process.resourceUsage().maxRSS / 1024)))',
)}`
const KEPT_CHARACTERS = 4000
const NEWLINE = 0x0a

/** Runs a command as a whole process: its time from start to end, and its memory when it is a Node program. */
export async function timeCommand(command: string, args: readonly string[]): Promise<ChildRun> {
  const startedMs = performance.now()
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] })
  let lines = 0
  let said = ''
  child.stdout.on('data', (chunk: Buffer) => {
    if (said.length < KEPT_CHARACTERS) said += chunk
    for (const byte of chunk) if (byte === NEWLINE) lines++
  })
  let trouble = ''
  child.stderr.on('data', (chunk: Buffer) => {
    trouble += chunk
  })
  const [status] = await once(child, 'close')
  const seconds = (performance.now() - startedMs) / 1000
  if (status !== 0)
    throw new Error(`${command} ${args.join(' ')} ended with ${status}: ${trouble.slice(0, 2000)}`)
  return { status, seconds, maxRssMb: Number(/maxRssMb (\d+)/.exec(trouble)?.[1]), said, lines }
}

export const timeNode = (script: string, args: readonly string[]): Promise<ChildRun> =>
  timeCommand(process.execPath, ['--import', METER, script, ...args])

/** Each command `times` times in turn, so that both meet the same weather; the fastest of each is compared. */
export async function fastestInTurn(
  times: number,
  commands: readonly (() => Promise<ChildRun>)[],
): Promise<ChildRun[]> {
  const best: (ChildRun | undefined)[] = commands.map(() => undefined)
  for (let turn = 0; turn < times; turn++)
    for (const [nth, run] of commands.entries()) {
      const done = await run()
      if (!best[nth] || done.seconds < best[nth].seconds) best[nth] = done
    }
  return best as ChildRun[]
}
