import { measured } from '../faults/measured.ts'
import { csvOf, makeFleet } from './fleet.ts'
import { eventually, startService, temporaryFolder } from './service.ts'
import { snapshot } from './snapshot.ts'

/**
 * `node tests/service/fifty-kills.script.ts [KILLS] [ELECTRODES] [TESTS]`: an upload (default 100 x 20 = 2,000 surveys) with the
 * service killed by SIGKILL again and again, against the same upload left alone. Prints what was compared; exit 1 when it differs.
 */
const [kills = 50, electrodes = 100, testsEach = 20] = process.argv.slice(2).map(Number)
const fleet = makeFleet(electrodes, testsEach)
const csv = { 'content-type': 'text/csv' }
const LEFT_OUT = /^(U|UR|UT|TD|TO|TM|MK)#/

interface Upload {
  state: string
  surveysAccepted: number
  surveysAlreadyThere: number
}

async function run(killTimes: number): Promise<{ state: string[]; upload: Upload; during: number }> {
  const folder = await temporaryFolder()
  try {
    let service = await startService(folder.path)
    await service.json('admin', '/api/register', { method: 'POST', headers: csv, body: fleet.registerCsv })
    const sent = { method: 'POST', headers: csv, body: csvOf(fleet) }
    const { id } = await service.json<{ id: string }>('field', '/api/uploads', sent)
    let during = 0
    for (let i = 0; i < killTimes; i++) {
      await new Promise((resolve) => setTimeout(resolve, 100 + ((i * 97) % 400)))
      const now = await service.json<Upload>('field', `/api/uploads/${id}`).catch(() => null)
      if (now && now.state !== 'done') during++
      await service.kill()
      service = await startService(folder.path)
    }
    const upload = await eventually(
      () => service.json<Upload>('field', `/api/uploads/${id}`),
      (u) => u.state === 'done' || u.state === 'failed',
      120_000,
    )
    await new Promise((resolve) => setTimeout(resolve, 8000))
    await service.stop()
    return { state: await snapshot(folder.path, LEFT_OUT), upload, during }
  } finally {
    await folder.remove()
  }
}

const alone = await run(0)
const killed = await run(kills)
const same = JSON.stringify(alone.state) === JSON.stringify(killed.state)
console.log(
  `${kills} kills, ${killed.during} before the upload was done; accepted ${killed.upload.surveysAccepted} of ${fleet.rows.length}, ` +
    `already there ${killed.upload.surveysAlreadyThere}; ${killed.state.length} items kept, ${same ? 'the same' : 'NOT the same'} as without kills`,
)
measured({
  what: 'kill -9 while a file is taken in and compared',
  command: 'npm run test:kills',
  count: kills,
  bad: {
    lost: fleet.rows.length - killed.upload.surveysAccepted - killed.upload.surveysAlreadyThere,
    'ending otherwise': same ? 0 : 1,
  },
  notes: `${killed.during} before the upload was done, ${killed.state.length} items`,
})
process.exit(same && killed.upload.surveysAccepted === fleet.rows.length ? 0 : 1)
