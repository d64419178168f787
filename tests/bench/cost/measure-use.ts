import { join } from 'node:path'
import { diskArchive } from '../../../cdk/local/adapters/disk-archive.ts'
import { openTable } from '../../../cdk/local/adapters/table.ts'
import { createCompare } from '../../../functions/compare/create-compare.ts'
import { createIntake } from '../../../functions/intake/create-intake.ts'
import { createLedger } from '../../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../../shared-lib/ledger/hand-in.ts'
import { parametersReader } from '../../../shared-lib/ledger/parameters.ts'
import type { OutgoingMessage } from '../../../shared-lib/ports/queue.ts'
import { electrode, upload } from '../../ledger/examples.ts'
import { meteredClient } from '../../ledger/metered-client.ts'
import { csvOf, makeFleet } from '../../service/fleet.ts'
import { temporaryFolder } from '../../service/service.ts'

/** What one piece of work used of the services that are billed. */
export interface Use {
  surveys: number
  tableReads: number
  tableWrites: number
  readUnits: number
  writeUnits: number
  /** Messages handed to a queue. */
  messages: number
}

export interface UseByWork {
  'form post': Use
  'upload of 20': Use
  '10-year backfill': Use
}

const ELECTRODES = 10
/** Ten years by quarters. */
const TEN_YEARS = 40
const NOW_MS = Date.UTC(2030, 0, 1)
const READING_NAMES = new Set(['Get', 'Query', 'BatchGet', 'Scan'])

/**
 * Counts what a form post, an upload of 20 surveys and a backfill of ten years use, comparing included, on the embedded table: a site
 * of 10 rods tested every quarter, of which two break half-way. What the pages read before a form is sent is not in it. Mail is told apart from a survey's price: see prices.ts.
 * @param backfillTests tests of each rod in the backfill; then two rounds follow for the upload and one survey for the form
 */
export async function measureUse(backfillTests = TEN_YEARS): Promise<UseByWork> {
  const tests = backfillTests + 3
  const folder = await temporaryFolder()
  const table = await openTable({ dataDir: folder.path })
  try {
    const { client, used } = meteredClient(table.client)
    const requests = { reads: 0, writes: 0 }
    const counted = new Proxy(client, {
      get(target, name) {
        if (name !== 'send') return Reflect.get(target, name)
        return (command: { constructor: { name: string } }) => {
          const kind = command.constructor.name.replace('Command', '')
          if (READING_NAMES.has(kind)) requests.reads++
          else requests.writes++
          return client.send(command as never)
        }
      },
    })
    const ledger = createLedger({ client: counted, tableName: table.tableName })
    const archive = diskArchive(join(folder.path, 'archive'))
    const clock = { nowMs: () => NOW_MS }
    const nowIso = new Date(NOW_MS).toISOString()
    let ids = 0
    let messages = 0
    const newId = () => `id-${ids++}`
    const comparing: OutgoingMessage[] = []
    const compareQueue = { send: async (sent: OutgoingMessage[]) => void comparing.push(...sent) }
    const others = {
      async send(sent: OutgoingMessage[]) {
        messages += sent.length
      },
    }
    const common = { ledger, clock, newId, log: () => {} }
    const intake = createIntake({ ...common, archive, compareQueue })
    const compare = createCompare({
      ...common,
      notifyQueue: others,
      parameters: parametersReader(ledger),
      settings: { fallbackEmail: 'engineer@example.org', mailHoldS: 600, oldAfterDays: 30 },
    })
    const record = (body: unknown) => ({
      Records: [{ messageId: '1', body: JSON.stringify(body), attributes: { ApproximateReceiveCount: '1' } }],
    })
    const must = (answer: { batchItemFailures: unknown[] }) => {
      if (answer.batchItemFailures.length > 0) throw new Error('a message failed')
    }
    const compareAll = async () => {
      const sent = comparing.splice(0)
      messages += sent.length
      for (const { body } of sent) must(await compare(record(body)))
    }
    const takeIn = async (csv: string, surveys: number) => {
      const id = newId()
      const bytes = new TextEncoder().encode(csv)
      async function* whole() {
        yield bytes
      }
      await archive.put(`uploads/${id}`, whole())
      await ledger.putUpload(upload(id, { byteLength: bytes.byteLength, receivedAt: nowIso }))
      messages++
      must(await intake(record({ uploadId: id })))
      const done = await ledger.getUpload(id)
      if (done?.surveysAccepted !== surveys) throw new Error(`not all stored: ${JSON.stringify(done)}`)
      await compareAll()
    }
    const useOf = async (surveys: number, work: () => Promise<void>): Promise<Use> => {
      const before = { ...used, ...requests, messages }
      await work()
      return {
        surveys,
        tableReads: requests.reads - before.reads,
        tableWrites: requests.writes - before.writes,
        readUnits: used.read - before.read,
        writeUnits: used.write - before.write,
        messages: messages - before.messages,
      }
    }

    const fleet = makeFleet(ELECTRODES, tests)
    const columns = fleet.header.split(',')
    const rowsOf = (from: number, to: number) =>
      fleet.rows.filter((_, nth) => nth % tests >= from && nth % tests < to)
    for (const line of fleet.registerCsv.trim().split('\n').slice(1)) {
      const [id, siteId, , , , , responsibleEmail] = line.split(',')
      const words = electrode(id!, {
        ...{ siteId: siteId!, diameterMm: 16, retestMonths: 12 },
        ...{ responsibleEmail: responsibleEmail! },
      })
      await ledger.putElectrode(words, { nowIso })
    }

    const backfill = rowsOf(0, backfillTests)
    const day = rowsOf(backfillTests, backfillTests + 2)
    const byBackfill = await useOf(backfill.length, () => takeIn(csvOf(fleet, backfill), backfill.length))
    const byUpload = await useOf(day.length, () => takeIn(csvOf(fleet, day), day.length))

    // The form's survey: the last round of a rod that is whole.
    const cells = fleet.rows[4 * tests - 1]!.split(',')
    const cell = (name: string) => cells[columns.indexOf(name)]!
    const currentProbeM = Number(cell('current_probe_m'))
    const desk = createDesk({ ...common, compareQueue })
    const byForm = await useOf(1, async () => {
      const { kind } = await desk.handIn(
        {
          ...{ surveyRef: cell('survey_ref'), electrodeId: cell('electrode_id'), outcome: 'tested' },
          ...{ testedAt: cell('tested_at'), method: 'fall-of-potential', measuredAs: 'electrode-alone' },
          currentProbeM,
          readings: [52, 62, 72].map((percent) => ({
            potentialProbeM: (currentProbeM * percent) / 100,
            resistanceOhm: Number(cell(`r${percent}_ohm`)),
            condition: 'ok' as const,
          })),
        },
        { via: 'form', by: 'local:field' },
      )
      if (kind !== 'stored') throw new Error(`the form's survey was ${kind}`)
      await compareAll()
    })
    return { 'form post': byForm, 'upload of 20': byUpload, '10-year backfill': byBackfill }
  } finally {
    await table.close()
    await folder.remove()
  }
}
