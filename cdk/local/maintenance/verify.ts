import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Difference, VerifyEnd } from '../../../functions/cli/one-machine.ts'
import { createLedger } from '../../../shared-lib/ledger/create-ledger.ts'
import { everyPage } from '../../../shared-lib/ledger/every-page.ts'
import { parametersInForce } from '../../../shared-lib/ledger/parameters.ts'
import { FolderInUse } from '../adapters/folder-lock.ts'
import { openTable } from '../adapters/table.ts'
import { verifySite } from './verify-site.ts'
import { verifySurveysOf } from './verify-surveys.ts'

type Ledger = ReturnType<typeof createLedger>

/** Every site of the register with its electrodes. Ids only: a fleet of a hundred thousand is some megabytes. */
async function electrodesBySite(ledger: Ledger): Promise<Map<string, string[]>> {
  const sites = new Map<string, string[]>()
  for await (const page of everyPage((from) => ledger.listElectrodes({ limit: 200, ...from })))
    for (const { electrode } of page)
      sites.set(electrode.siteId, [...(sites.get(electrode.siteId) ?? []), electrode.electrodeId])
  return sites
}

/**
 * Works every evaluation and assessment of a stopped service out anew, site by site, and tells each that differs from what is
 * stored. Reads only.
 */
export async function verify(dataFolder: string, tell: (difference: Difference) => void): Promise<VerifyEnd> {
  if (!existsSync(join(dataFolder, 'table'))) return { kind: 'not-there' }
  let table: Awaited<ReturnType<typeof openTable>>
  try {
    table = await openTable({ dataDir: dataFolder })
  } catch (error) {
    if (error instanceof FolderInUse) return { kind: 'in-use' }
    throw error
  }
  try {
    // After a crash the lists are made whole first: an electrode missing from them would be overlooked.
    await table.refreshed
    const ledger = createLedger(table)
    const parameters = await parametersInForce(ledger)
    const total = { electrodes: 0, surveys: 0, differences: 0, waiting: 0 }
    const told = (difference: Difference) => {
      total.differences++
      tell(difference)
    }
    for (const [siteId, ids] of await electrodesBySite(ledger)) {
      const site = await verifySite(ledger, siteId, ids, parameters, told)
      total.electrodes += ids.length
      total.surveys += site.surveys
      total.waiting += site.waiting
      total.surveys += await verifySurveysOf(ledger, { kind: 'site', id: siteId }, told)
    }
    const instruments = new Set((await ledger.listCalibrations()).map((c) => c.instrumentId))
    for (const id of instruments)
      total.surveys += await verifySurveysOf(ledger, { kind: 'instrument', id }, told)
    return { kind: 'done', ...total }
  } finally {
    await table.close()
  }
}
