import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'

/**
 * Runs a script in a Node of its own, lets it acknowledge work line by line on stdout, and ends it with SIGKILL when `enough`
 * lines have come: no warning, no clean-up. Returns the lines that had arrived.
 */
export async function killedAfter(enough: number, script: string, ...args: string[]): Promise<string[]> {
  const child = spawn(process.execPath, [script, ...args], { stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  child.stderr.on('data', (chunk) => {
    said += chunk
  })
  const lines: string[] = []
  for await (const line of createInterface({ input: child.stdout })) {
    lines.push(line)
    if (lines.length === enough) child.kill('SIGKILL')
  }
  const [, signal] =
    child.exitCode === null && child.signalCode === null ? await once(child, 'exit') : [0, child.signalCode]
  if (signal !== 'SIGKILL') throw new Error(`the child ended by itself after ${lines.length} lines:\n${said}`)
  return lines
}
