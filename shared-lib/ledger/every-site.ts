import type { ElectrodeFile, Ledger, SiteFile } from './ledger.ts'

/** Every site with the short histories of its electrodes, one at a time: a query a site, and one look at the enumeration. */
export async function* everySite(
  ledger: Pick<Ledger, 'listSites' | 'readSite'>,
): AsyncGenerator<SiteFile & { siteId: string }> {
  for (const { siteId } of await ledger.listSites()) yield { siteId, ...(await ledger.readSite(siteId)) }
}

/** Every electrode with all that is kept about it, in order of id, one page of the register in memory at a time. */
export async function* everyElectrode(
  ledger: Pick<Ledger, 'listElectrodes' | 'readElectrodeFile'>,
): AsyncGenerator<ElectrodeFile> {
  let cursor: string | undefined
  do {
    const page = await ledger.listElectrodes({ limit: 200, ...(cursor ? { cursor } : {}) })
    for (const { electrode } of page.items) {
      const file = await ledger.readElectrodeFile(electrode.electrodeId)
      if (file) yield file
    }
    cursor = page.next ?? undefined
  } while (cursor)
}
