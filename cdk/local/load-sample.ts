import { createReadStream, existsSync } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { Readable } from 'node:stream'

const TABLES = ['electrodes', 'instruments', 'limits', 'works'] as const
const SURVEYS = ['surveys-long.csv', 'surveys-wide.csv', 'surveys-semicolon.csv'] as const
const DONE = 'sample-loaded'

/** Has this data folder had its sample, or been used without one? */
export function sampleWanted(dataDir: string): boolean {
  return !existsSync(join(dataDir, DONE)) && !existsSync(join(dataDir, 'table'))
}

/**
 * Hands the invented operator in through the front door, as any office would: the register tables, then the survey files. Handing
 * in twice changes nothing, so a start that was killed half-way simply does it again.
 */
export async function loadSample(
  service: { url: string; adminToken: string },
  folder: string,
  dataDir: string,
  say: (line: string) => void,
): Promise<void> {
  const post = async (path: string, file: string) => {
    const answer = await fetch(`${service.url}${path}`, {
      method: 'POST',
      headers: {
        authorization: `Bearer ${service.adminToken}`,
        'content-type': 'text/csv',
        'content-disposition': `attachment; filename="${file}"`,
      },
      body: Readable.toWeb(createReadStream(join(folder, file))) as ReadableStream,
      duplex: 'half',
    })
    if (!answer.ok) throw new Error(`${file} was not taken: ${answer.status} ${await answer.text()}`)
    return answer.json() as Promise<{ id: string }>
  }
  for (const table of TABLES) await post(`/api/register?table=${table}`, `${table}.csv`)
  say('  the sample register is in')
  const uploads: string[] = []
  for (const file of SURVEYS) uploads.push((await post('/api/uploads', file)).id)
  for (const [i, id] of uploads.entries()) {
    const upload = await untilDone(service, id)
    say(`  ${SURVEYS[i]}: ${upload.surveysAccepted} surveys, ${upload.rowsRefused} rows refused`)
  }
  await writeFile(join(dataDir, DONE), '')
}

interface Progress {
  state: string
  surveysAccepted: number
  rowsRefused: number
}

async function untilDone(service: { url: string; adminToken: string }, id: string): Promise<Progress> {
  for (;;) {
    const answer = await fetch(`${service.url}/api/uploads/${id}`, {
      headers: { authorization: `Bearer ${service.adminToken}` },
    })
    const upload = (await answer.json()) as Progress
    if (upload.state === 'done' || upload.state === 'failed') return upload
    await new Promise((resolve) => setTimeout(resolve, 200))
  }
}
