import type { SiteFile } from './kept/site.ts'
import type { Ledger } from './ledger.ts'

/** Every site with the short histories of its electrodes, one at a time: a query a site, and one look at the enumeration. */
export async function* everySite(
  ledger: Pick<Ledger, 'listSites' | 'readSite'>,
): AsyncGenerator<SiteFile & { siteId: string }> {
  for (const { siteId } of await ledger.listSites()) yield { siteId, ...(await ledger.readSite(siteId)) }
}
