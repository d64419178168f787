import { createHash } from 'node:crypto'
import type { Severity } from '../survey/finding.ts'
import type { Limit, Work } from '../survey/register.ts'
import type { Subject } from '../survey/survey.ts'
import { utcInstant } from './instant.ts'
import type { FindingState } from './kept/finding.ts'
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

const escapedId = (id: string): string => id.replaceAll('%', '%25').replaceAll('#', '%23')
const fitsEscaped = (escaped: string): boolean => {
  const bytes = Buffer.byteLength(escaped)
  return bytes > 0 && bytes <= MAX_ID_BYTES && escaped.isWellFormed()
}

/** Whether an id can be part of a key: not empty, not too long, well-formed Unicode. */
export const fitsKey = (id: string): boolean => fitsEscaped(escapedId(id))

/** One id as a part of a key. Throws `bad-key` for an id that is empty, too long or not well-formed Unicode. */
export function part(id: string): string {
  const escaped = escapedId(id)
  if (!fitsEscaped(escaped)) {
    const bytes = Buffer.byteLength(escaped)
    throw new LedgerError('bad-key', `An id takes 1 to ${MAX_ID_BYTES} bytes of text; this has ${bytes}.`, {
      id: id.slice(0, 80),
    })
  }
  return escaped
}

/** The id again from its part of a key. */
export const idOf = (escaped: string): string => escaped.replaceAll('%23', '#').replaceAll('%25', '%')

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
  recent: 8,
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

// --- electrodes by the tag on the post, however it is written
/** A tag as it is compared: its capitals and the space around it do not count. */
export const plainTag = (tag: string): string => tag.normalize('NFC').trim().toLowerCase()
/** A long tag is found by its beginning; the caller compares whole tags. */
export const tagPk = (tag: string): string => `TG#${part(plainTag(tag).slice(0, 60).toWellFormed())}`
export const tagKey = (tag: string, electrodeId: string): ItemKey => ({
  pk: tagPk(tag),
  sk: part(electrodeId),
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

// --- a site's short histories, all in one partition: what a comparison reads
export const siteHistoryPk = (siteId: string): string => `SH#${part(siteId)}`
/** Sorts before every electrode's item, so that it comes first. */
export const siteHeaderKey = (siteId: string): ItemKey => ({ pk: siteHistoryPk(siteId), sk: 'A' })
export const HISTORY_PREFIX = 'H#'
export const historyKey = (siteId: string, electrodeId: string): ItemKey => ({
  pk: siteHistoryPk(siteId),
  sk: `${HISTORY_PREFIX}${part(electrodeId)}`,
})

// --- the sites where an instrument has tested
export const instrumentSitesPk = (instrumentId: string): string => `IS#${part(instrumentId)}`
export const instrumentSiteKey = (instrumentId: string, siteId: string): ItemKey => ({
  pk: instrumentSitesPk(instrumentId),
  sk: part(siteId),
})

// --- surveys handed in singly, by the time they came: whose message was lost is found here
export const recentPk = (shard: string): string => `RC#${shard}`
export const recentListing = (
  siteId: string,
  electrodeId: string,
  surveyRef: string,
  receivedAt: string,
): ListingKeys => ({
  lp: recentPk(shardOf(electrodeId, SHARDS.recent)),
  ls: [utcInstant(receivedAt), part(siteId), part(electrodeId), part(surveyRef)].join('#'),
})
export const RECENT_CHECKED_KEY: ItemKey = { pk: 'RC', sk: 'CHECKED' }

// --- findings about instruments that were written last
export const INSTRUMENT_FINDINGS_KEY: ItemKey = { pk: 'IF', sk: 'LAST' }

// --- what the fleet has taught
export const PARAMETERS_PK = 'PA'
export const ADOPTED_KEY: ItemKey = { pk: PARAMETERS_PK, sk: 'ADOPTED' }
export const parametersKey = (version: string): ItemKey => ({ pk: PARAMETERS_PK, sk: `V#${part(version)}` })

// --- which schema the table is at; and where version 1 had peer entries
export const SCHEMA_KEY: ItemKey = { pk: 'SC', sk: 'SCHEMA' }
export const sitePeersPkOfV1 = (siteId: string): string => `PS#${part(siteId)}`
export const instrumentPeersPkOfV1 = (instrumentId: string): string => `PI#${part(instrumentId)}`

// --- what intake holds while it writes many surveys at once
export const WRITING_TURN_KEY: ItemKey = { pk: 'LK', sk: 'TURN' }

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

// --- due marks, by site; `%` stands for the site of an electrode that is not registered (an escaped id never has it alone)
export const marksPk = (shard: string): string => `MK#${shard}`
const NO_SITE = '%'
/** A mark of no electrode in particular is about the site's soil. */
const siteText = (id: string): string => (id === '' ? NO_SITE : part(id))
export const siteMarksPk = (siteId: string): string => marksPk(shardOf(siteText(siteId), SHARDS.marks))
export const siteMarksPrefix = (siteId: string): string => `${siteText(siteId)}#`
export const electrodeMarksPrefix = (siteId: string, electrodeId: string): string =>
  `${siteMarksPrefix(siteId)}${siteText(electrodeId)}#`
/** `portion` of a mark: '' for the electrode as a whole, else which portion of which upload. */
export const markKey = (siteId: string, electrodeId: string, portion: string): ItemKey => ({
  pk: siteMarksPk(siteId),
  sk: `${electrodeMarksPrefix(siteId, electrodeId)}${portion}`,
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
/** Told, and whoever was told has not yet heard how it ended. */
export const toldOpenPk = (recipient: string): string => `TO#${part(recipient)}`
export const toldOpenKey = (recipient: string, findingId: string): ItemKey => ({
  pk: toldOpenPk(recipient),
  sk: findingId,
})
/** An address is one whatever its capitals. */
export const mailChoiceKey = (recipient: string): ItemKey => ({
  pk: `MC#${part(recipient.trim().toLowerCase())}`,
  sk: 'MC',
})
/** When mail went to somebody lately. */
export const mailTimesKey = (recipient: string): ItemKey => ({ pk: `TM#${part(recipient)}`, sk: 'TM' })
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

// --- leases: who is at work on something just now
export const leaseKey = (name: string): ItemKey => ({ pk: `LS#${part(name)}`, sk: 'LS' })

// --- sessions that were signed out
export const ENDED_SESSIONS_PK = 'XS'
export const endedSessionKey = (digest: string): ItemKey => ({ pk: ENDED_SESSIONS_PK, sk: part(digest) })

// --- exports made as files, under who asked for them
export const exportsPk = (personId: string): string => `XJ#${part(personId)}`
export const exportKey = (personId: string, id: string): ItemKey => ({
  pk: exportsPk(personId),
  sk: part(id),
})

// --- calendar feeds, one a person
export const feedKey = (personId: string): ItemKey => ({ pk: `CF#${part(personId)}`, sk: 'CF' })

// --- how the fleet stood when it was counted last, one item a site
export const STANDINGS_PK = 'ST'
export const STANDINGS_HEADER_KEY: ItemKey = { pk: STANDINGS_PK, sk: 'H' }
export const standingKey = (siteId: string): ItemKey => ({ pk: STANDINGS_PK, sk: `S#${part(siteId)}` })
