import { utcInstant } from './instant.ts'
import type { RecentSurvey, SurveyRecord } from './kept/survey.ts'
import { allShards, idOf, RECENT_CHECKED_KEY, recentListing, recentPk, SHARDS } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type RecentArea = Pick<Ledger, 'recentSurveys' | 'recentCheckedTo' | 'setRecentCheckedTo'>

/**
 * The place of a survey among the recent ones: those of electrodes that were handed in singly. It is part of the survey's own item,
 * so a survey that is stored can always be found by the time it came, whatever happened to its message. Surveys of uploads need no
 * place: their upload stands for them.
 */
export function recentPlace(record: SurveyRecord): object {
  if (record.receivedFrom.via === 'upload' || record.subject.kind !== 'electrode' || !record.siteId) return {}
  return recentListing(record.siteId, record.subject.id, record.survey.surveyRef, record.receivedAt)
}

export function recentArea(table: TableAccess): RecentArea {
  return {
    async recentSurveys(fromIso, toIso) {
      // Text order is time order; the keys of an instant begin with it.
      const between: [string, string] = [utcInstant(fromIso), utcInstant(toIso)]
      const perShard = await Promise.all(
        allShards(SHARDS.recent).map((shard) =>
          table.queryAll({ partition: recentPk(shard), index: INDEX.listing, between }),
        ),
      )
      return perShard.flat().map((r): RecentSurvey => {
        const [receivedAt, siteId, electrodeId, surveyRef] = String(r.ls).split('#') as [
          string,
          string,
          string,
          string,
        ]
        return {
          receivedAt,
          siteId: idOf(siteId),
          electrodeId: idOf(electrodeId),
          surveyRef: idOf(surveyRef),
        }
      })
    },
    async recentCheckedTo() {
      const stored = await table.get(RECENT_CHECKED_KEY)
      return stored ? String(stored.to) : '1970-01-01T00:00:00.000Z'
    },
    async setRecentCheckedTo(iso) {
      await table.put(row(RECENT_CHECKED_KEY, { to: utcInstant(iso) }))
    },
  }
}
