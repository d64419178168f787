import { utcInstant } from './instant.ts'
import { instrumentPeersPk, peerSk, sitePeersPk } from './keys.ts'
import type { Ledger, PeerEntry } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** Sorts after every sort key that begins with an instant. */
const LAST = '~'

type PeersArea = Pick<
  Ledger,
  'putPeerEntries' | 'peersOfSite' | 'peersOfInstrument' | 'electrodesOfInstrument'
>

/**
 * Peer entries: the few numbers a comparison asks of other electrodes' tests, in order of time under the site and once more under
 * the instrument. Keyed by survey, so that a repeat changes nothing. A range of time is one query whatever its length.
 */
export function peersArea(table: TableAccess): PeersArea {
  const range = async (partition: string, fromIso: string, toIso: string): Promise<PeerEntry[]> => {
    const rows = await table.queryAll({
      partition,
      // An instant ends where its key goes on with '#': '$' takes in the entries of the last instant itself.
      between: [utcInstant(fromIso), toIso === '' ? LAST : `${utcInstant(toIso)}$`],
    })
    return rows.map((r) => r.d as PeerEntry)
  }

  return {
    async putPeerEntries(entries) {
      const rows = entries.flatMap((d) => {
        const sk = peerSk(d.testedAt, d.electrodeId, d.surveyRef)
        const ofSite = row({ pk: sitePeersPk(d.siteId), sk }, { d })
        if (d.instrumentId === undefined) return [ofSite]
        return [ofSite, row({ pk: instrumentPeersPk(d.instrumentId), sk }, { d })]
      })
      await table.writeMany(rows)
    },
    peersOfSite: (siteId, fromIso, toIso) => range(sitePeersPk(siteId), fromIso, toIso),
    peersOfInstrument: (instrumentId, fromIso, toIso) =>
      range(instrumentPeersPk(instrumentId), fromIso, toIso),
    async electrodesOfInstrument(instrumentId, fromIso) {
      const entries = await range(instrumentPeersPk(instrumentId), fromIso, '')
      return [...new Set(entries.map((e) => e.electrodeId))]
    },
  }
}
