import * as z from 'zod/mini'
import type { Parameters } from '../../shared-lib/history/assessment.ts'
import { compareSite } from '../../shared-lib/ledger/compare-site.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { ParametersReader } from '../../shared-lib/ledger/parameters.ts'
import { createTelling, type TellingDeps } from '../../shared-lib/ledger/tell-news.ts'
import { correlated } from '../../shared-lib/ports/correlation.ts'
import { describe, type Log, submissionOf } from '../../shared-lib/ports/handle-batch.ts'
import type { QueueHandler } from '../../shared-lib/ports/queue.ts'

export interface CompareDeps extends TellingDeps {
  ledger: Ledger
  newId(): string
  /** What judges, as a function it is asked anew for each site. */
  parameters: Parameters | ParametersReader
  log: Log
  /** Asked before each site: resolves when it may begin. Where hand-ins and comparisons share a machine, the hand-ins go first. */
  myTurn?(): Promise<void>
}

/** While the table answers about one site, another is judged. */
const SITES_AT_ONCE = 3

const message = z.object({
  siteId: z.string(),
  electrodeId: z.optional(z.string()),
  surveyRef: z.optional(z.string()),
})
type Message = z.infer<typeof message>

/**
 * compare: a site with news -> judged anew -> assessments, findings, and who is to be told. All messages of a batch about one site,
 * and all its marks, are answered by one comparison.
 */
export function createCompare(deps: CompareDeps): QueueHandler {
  const { ledger, clock } = deps
  const nowIso = () => new Date(clock.nowMs()).toISOString()

  const telling = createTelling(deps)

  async function compare(siteId: string, messages: readonly Message[], alsoFor: readonly string[] = []) {
    if (siteId === '') return compareRegistered()
    const told = messages.flatMap(({ electrodeId, surveyRef }) =>
      electrodeId !== undefined && surveyRef !== undefined ? [{ electrodeId, surveyRef }] : [],
    )
    const run = { ledger, parameters: deps.parameters, nowIso, newId: deps.newId, ...telling }
    const done = await compareSite(run, siteId, told)
    if (!done) return
    const others = alsoFor.length > 0 ? { alsoFor } : {}
    deps.log({ level: 'info', message: 'compared', ...done, ...others })
  }

  /** Marks of electrodes that were not registered when they were marked: by now they are, or there is nothing to judge. */
  async function compareRegistered(): Promise<void> {
    const marks = await ledger.marksOfSite('')
    const known = await ledger.getElectrodes(marks.map((m) => m.electrodeId))
    if (known.size > 0) {
      const again = await ledger.markDue([...known.keys()], { stamp: deps.newId(), nowIso: nowIso() })
      for (const siteId of new Set(again.map((m) => m.siteId))) await compare(siteId, [])
    }
    await ledger.clearMarks(marks)
  }

  return async (event) => {
    const failed = new Set<string>()
    const sites = new Map<string, { ids: string[]; submissions: Set<string>; messages: Message[] }>()
    const fail = (ids: readonly string[], error: unknown) => {
      deps.log({ level: 'error', message: 'a message failed', messageId: ids[0], error: describe(error) })
      for (const id of ids) failed.add(id)
    }
    for (const record of event.Records) {
      const { messageId, body } = record
      try {
        const read = message.parse(JSON.parse(body))
        const site = sites.get(read.siteId) ?? { ids: [], submissions: new Set(), messages: [] }
        sites.set(read.siteId, site)
        site.ids.push(messageId)
        site.submissions.add(submissionOf(record))
        site.messages.push(read)
      } catch (error) {
        correlated(submissionOf(record), () => fail([messageId], error))
      }
    }
    await inParallel([...sites], SITES_AT_ONCE, async ([siteId, { ids, submissions, messages }]) => {
      await deps.myTurn?.()
      // One comparison answers them all: it goes by the first, and its line names the others.
      const [first, ...others] = [...submissions]
      await correlated(first!, () => compare(siteId, messages, others).catch((error) => fail(ids, error)))
    })
    return { batchItemFailures: [...failed].map((itemIdentifier) => ({ itemIdentifier })) }
  }
}
