import { appendFileSync, existsSync, fsyncSync, openSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type CrashPoint, crashAt, recorder } from './crash.ts'
import { workOff } from './crash-scenario.ts'
import { openHouse } from './house.ts'
import { startAgain } from './settle.ts'
import { undisturbed } from './steps.ts'
import { openOnDisk } from './world.ts'

/**
 * `node tests/faults/kill-child.ts FOLDER LIFE [CRASH-POINT as JSON]`: works off the crash scenario over the adapters of one
 * machine, killing itself with SIGKILL at the point. What clients have a receipt for is in FOLDER/receipts. LIFE 0 without a point
 * writes the steps it took to FOLDER/steps.json, and every life that comes to its end what is kept to FOLDER/kept.json.
 */
const [folder, lifeText, pointText] = process.argv.slice(2) as [string, string, string | undefined]
const life = Number(lifeText)
const receipts = join(folder, 'receipts')
const lines = existsSync(receipts) ? readFileSync(receipts, 'utf8').split('\n') : []
const done = new Set(lines.filter((line) => line !== '').map(Number))
const receiptsFile = openSync(receipts, 'a')

const steps = recorder()
const by = pointText
  ? crashAt(JSON.parse(pointText) as CrashPoint, () => process.kill(process.pid, 'SIGKILL'))
  : life === 0
    ? steps.by
    : undisturbed
const world = await openOnDisk(folder, life)
const house = openHouse(world, by)
if (life > 0) await startAgain(house)
await workOff(house, done, (act) => {
  appendFileSync(receiptsFile, `${act}\n`)
  fsyncSync(receiptsFile)
})
writeFileSync(join(folder, 'kept.json'), JSON.stringify(await world.kept()))
if (life === 0) writeFileSync(join(folder, 'steps.json'), JSON.stringify([...steps.seen]))
house.close()
await world.closeAll()
