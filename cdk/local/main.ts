import { appendFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { describe, type Log } from '../../shared-lib/ports/handle-batch.ts'
import { loadSample, sampleWanted } from './load-sample.ts'
import { readSettings, SettingError } from './settings.ts'
import { startLocal } from './start-local.ts'

/** `npm start`: the service on this machine, until Ctrl-C. */
async function main(): Promise<void> {
  const settings = readSettings(process.env)
  mkdirSync(settings.dataDir, { recursive: true })
  const logFile = join(settings.dataDir, 'service.log')
  const log: Log = (entry) => {
    appendFileSync(logFile, `${JSON.stringify({ at: new Date().toISOString(), ...entry })}\n`)
    if (entry.level === 'error') console.error(`${entry.message} (see ${logFile})`)
  }
  const say = (line: string) => console.log(line)
  const sample = settings.loadSample && sampleWanted(settings.dataDir)
  const service = await startLocal(settings, log)
  say(`stakeline is at ${service.url}`)
  say('Sign in with one of these links (each is good for 30 days, on this machine only):')
  for (const [role, link] of Object.entries(service.signInLinks)) say(`  ${role.padEnd(8)} ${link}`)
  say(`Everything is kept under ${settings.dataDir}. Ctrl-C stops it; it goes on where it was.`)

  let stopping = false
  const stop = async () => {
    if (stopping) return
    stopping = true
    await service.stop()
    process.exit(0)
  }
  process.on('SIGINT', () => void stop())
  process.on('SIGTERM', () => void stop())

  if (sample) {
    say('First start: loading the invented sample operator through the front door …')
    await loadSample(service, join(import.meta.dirname, '../../sample-data'), settings.dataDir, say)
    say('The sample operator is loaded; its findings are on the page within seconds.')
  }
}

main().catch((error: unknown) => {
  console.error(error instanceof SettingError ? error.message : describe(error))
  process.exit(2)
})
