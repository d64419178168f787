import { createHash } from 'node:crypto'
import type { Severity } from '../survey/finding.ts'
import type { Limit, Work } from '../survey/register.ts'
import type { Subject } from '../survey/survey.ts'
import { utcInstant } from './instant.ts'
import type { FindingState } from './ledger.ts'
import { LedgerError } from './ledger-error.ts'

/** Every key string of the table is built in this file. `#` parts them; ids are escaped so that no id can pose as two parts. */

export interface ItemKey {
  pk: string
  sk: string
}
export type ListingKeys = { lp: string; ls: string }
export type OwnerKeys = { op: string; os: string }
export type EnumerationKeys = { ep: string; es: string }

/**
 * An id of up to this many UTF-8 bytes (each `#` and `%` counts as three) fits every key it is part of: DynamoDB takes 1,024 bytes in a
 * sort key, and the longest of ours, a decision, holds an id and a finding's id, which is two ids in base64url.
 */
export const MAX_ID_BYTES = 256

/** One id as a part of a key. Throws `bad-key` for an id that is empty, too long or not well-formed Unicode. */
export function part(id: string): string {
  const escaped = id.replaceAll('%', '%25').replaceAll('#', '%23')
  const bytes = Buffer.byteLength(escaped)
  if (bytes === 0 || bytes > MAX_ID_BYTES || !id.isWellFormed())
    throw new LedgerError('bad-key', `An id takes 1 to ${MAX_ID_BYTES} bytes of text; this has ${bytes}.`, {
      id: id.slice(0, 80),
    })
  return escaped
}

/** Which of `count` shards an id belongs to, always the same one. `count` at most 256. */
function shardOf(id: string, count: number): string {
  const byte = createHash('sha256').update(id).digest()[0] ?? 0
  return String(byte % count).padStart(2, '0')
}
export const allShards = (count: number): string[] =>
  Array.from({ length: count }, (_, i) => String(i).padStart(2, '0'))

export const SHARDS = {
  marks: 16,
  electrodes: 8,
  findings: 4,
  due: 4,
  held: 4,
  uploads: 4,
  untold: 4,
} as const

// --- an electrode's partition
export const electrodePk = (electrodeId: string): string => `E#${part(electrodeId)}`
export const registerKey = (electrodeId: string): ItemKey => ({ pk: electrodePk(electrodeId), sk: 'REG' })
export const assessmentKey = (electrodeId: string): ItemKey => ({ pk: electrodePk(electrodeId), sk: 'AS' })
export const limitKey = (l: Limit): ItemKey => ({
  pk: electrodePk(l.electrodeId),
  sk: `LM#${part(l.purpose)}#${l.appliesTo ?? ''}#${utcInstant(l.validFrom ?? '')}`,
})
export const workKey = (w: Work): ItemKey => ({
  pk: electrodePk(w.electrodeId),
  sk: `WK#${utcInstant(w.doneOn)}#${w.what}`,
})
export const findingKey = (electrodeId: string, findingId: string): ItemKey => ({
  pk: electrodePk(electrodeId),
  sk: `FD#${findingId}`,
})
export const decisionsPrefix = (findingId: string): string => `DC#${findingId}#`
export const decisionKey = (electrodeId: string, findingId: string, decisionId: string): ItemKey => ({
  pk: electrodePk(electrodeId),
  sk: `${decisionsPrefix(findingId)}${part(decisionId)}`,
})
export const PREFIX = {
  survey: 'SV#',
  finding: 'FD#',
  decision: 'DC#',
  work: 'WK#',
  limit: 'LM#',
  calibration: 'CB#',
}

// --- a survey, under what it is about
const SUBJECT_LETTER = { electrode: 'E', site: 'S', instrument: 'I' } as const
export const subjectPk = (s: Subject): string => `${SUBJECT_LETTER[s.kind]}#${part(s.id)}`
export const surveyKey = (s: Subject, surveyRef: string): ItemKey => ({
  pk: subjectPk(s),
  sk: `${PREFIX.survey}${part(surveyRef)}`,
})

// --- every electrode, and those of a site
export const electrodeShardPk = (shard: string): string => `EN#${shard}`
export const enumerationOf = (electrodeId: string): EnumerationKeys => ({
  ep: electrodeShardPk(shardOf(electrodeId, SHARDS.electrodes)),
  es: part(electrodeId),
})
export const siteElectrodesPk = (siteId: string): string => `ES#${part(siteId)}`
export const siteElectrode = (siteId: string, electrodeId: string): OwnerKeys => ({
  op: siteElectrodesPk(siteId),
  os: part(electrodeId),
})

// --- what is due: sorted by date over a few shards, so that "up to this month" includes what is overdue since any month
export const duePk = (shard: string): string => `DU#${shard}`
export const dueListing = (electrodeId: string, dueOn: string): ListingKeys => ({
  lp: duePk(shardOf(electrodeId, SHARDS.due)),
  ls: `${dueOn}#${part(electrodeId)}`,
})

// --- calibrations, under the instrument
export const calibrationKey = (instrumentId: string, calibratedOn: string): ItemKey => ({
  pk: subjectPk({ kind: 'instrument', id: instrumentId }),
  sk: `${PREFIX.calibration}${utcInstant(calibratedOn)}`,
})
export const CALIBRATIONS_PK = 'CL'
export const calibrationListing = (instrumentId: string, calibratedOn: string): ListingKeys => ({
  lp: CALIBRATIONS_PK,
  ls: `${part(instrumentId)}#${utcInstant(calibratedOn)}`,
})

// --- peers: small entries in order of time, under the site and under the instrument
export const sitePeersPk = (siteId: string): string => `PS#${part(siteId)}`
export const instrumentPeersPk = (instrumentId: string): string => `PI#${part(instrumentId)}`
export const peerSk = (testedAt: string, electrodeId: string, surveyRef: string): string =>
  `${utcInstant(testedAt)}#${part(electrodeId)}#${part(surveyRef)}`

// --- findings of one state, worst first, then oldest first: of all and of a site
const SEVERITY_RANK: Record<Severity, number> = { urgent: 0, warning: 1, notice: 2 }
export const findingsPk = (state: FindingState, shard: string): string => `FL#${state}#${shard}`
export const siteFindingsPk = (state: FindingState, siteId: string): string => `FS#${state}#${part(siteId)}`
export const findingSortKey = (f: { severity: Severity; openedAt: string; id: string }): string =>
  `${SEVERITY_RANK[f.severity]}#${utcInstant(f.openedAt)}#${f.id}`
export function findingListing(
  f: { severity: Severity; openedAt: string; id: string; siteId: string },
  state: FindingState,
): ListingKeys & OwnerKeys {
  const sort = findingSortKey(f)
  return {
    lp: findingsPk(state, shardOf(f.id, SHARDS.findings)),
    ls: sort,
    op: siteFindingsPk(state, f.siteId),
    os: sort,
  }
}

// --- due marks
export const marksPk = (shard: string): string => `MK#${shard}`
export const markKey = (electrodeId: string): ItemKey => ({
  pk: marksPk(shardOf(electrodeId, SHARDS.marks)),
  sk: part(electrodeId),
})

// --- held surveys, oldest first
export const heldPk = (electrodeId: string): string => `H#${part(electrodeId)}`
export const heldKey = (electrodeId: string, surveyRef: string): ItemKey => ({
  pk: heldPk(electrodeId),
  sk: part(surveyRef),
})
export const heldShardPk = (shard: string): string => `HL#${shard}`
export const heldListing = (h: {
  electrodeId: string
  receivedAt: string
  survey: { surveyRef: string }
}): ListingKeys => ({
  lp: heldShardPk(shardOf(h.electrodeId, SHARDS.held)),
  ls: `${utcInstant(h.receivedAt)}#${part(h.electrodeId)}#${part(h.survey.surveyRef)}`,
})

// --- telling
export const untoldPk = (recipient: string): string => `UT#${part(recipient)}`
const toldPk = (recipient: string): string => `TD#${part(recipient)}`
export const untoldKey = (recipient: string, findingId: string): ItemKey => ({
  pk: untoldPk(recipient),
  sk: findingId,
})
export const toldKey = (recipient: string, findingId: string): ItemKey => ({
  pk: toldPk(recipient),
  sk: findingId,
})
export const untoldShardPk = (shard: string): string => `UU#${shard}`
export const untoldListing = (recipient: string, findingId: string): ListingKeys => ({
  lp: untoldShardPk(shardOf(recipient, SHARDS.untold)),
  ls: `${part(recipient)}#${findingId}`,
})
/** Sorts after every untold finding of this recipient and before the next recipient's: `$` follows `#`. */
export const afterRecipient = (escapedRecipient: string): string => `${escapedRecipient}$`

// --- uploads, newest first; refused rows in a partition of their own
export const uploadKey = (uploadId: string): ItemKey => ({ pk: `U#${part(uploadId)}`, sk: 'UP' })
export const refusedPk = (uploadId: string): string => `UR#${part(uploadId)}`
export const uploadsPk = (shard: string): string => `UL#${shard}`
export const personUploadsPk = (by: string): string => `UB#${part(by)}`
export function uploadListing(u: { id: string; by: string; receivedAt: string }): ListingKeys & OwnerKeys {
  const sort = `${utcInstant(u.receivedAt)}#${part(u.id)}`
  return { lp: uploadsPk(shardOf(u.id, SHARDS.uploads)), ls: sort, op: personUploadsPk(u.by), os: sort }
}

// --- column maps
export const COLUMN_MAPS_PK = 'CM'
export const columnMapKey = (name: string): ItemKey => ({ pk: COLUMN_MAPS_PK, sk: part(name) })
