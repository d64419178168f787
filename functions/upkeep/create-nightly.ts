import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { type EscalationSettings, escalate } from '../../shared-lib/ledger/escalation.ts'
import { everySite } from '../../shared-lib/ledger/every-site.ts'
import { judgeInstruments } from '../../shared-lib/ledger/judge-instruments.ts'
import { learnFleet } from '../../shared-lib/ledger/learn-fleet.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { parametersInForce } from '../../shared-lib/ledger/parameters.ts'
import { rejudgeAll } from '../../shared-lib/ledger/rejudge-all.ts'
import { createTelling, type TellingDeps } from '../../shared-lib/ledger/tell-news.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Queue } from '../../shared-lib/ports/queue.ts'

export interface NightlyDeps extends Omit<TellingDeps, 'ledger'> {
  ledger: Ledger
  compareQueue: Queue
  newId(): string
  log: Log
  settings: TellingDeps['settings'] &
    EscalationSettings & {
      /** Adopt what is learnt without asking; else it waits for an engineer or an administrator. */
      adoptLearnt: boolean
    }
}

/** What looks at the whole fleet: the instruments, how it stands, what nobody answered, and what it teaches. Each may be repeated. */
export function createNightly(deps: NightlyDeps) {
  const { ledger, clock, log } = deps
  const nowIso = () => new Date(clock.nowMs()).toISOString()
  return {
    async instruments(): Promise<void> {
      const parameters = await parametersInForce(ledger)
      const done = await judgeInstruments({ ledger, parameters, ...createTelling(deps) })
      log({ level: 'info', message: 'instruments judged', ...done })
    },
    /** Urgent findings that nobody answered go to the next person; by night the warnings too. */
    async escalate(what: 'urgent' | 'warning'): Promise<void> {
      const passedOn = await escalate(deps, what)
      if (passedOn > 0) log({ level: 'info', message: 'passed on', what, passedOn })
    },
    async count(): Promise<void> {
      const sites = await countFleet(ledger, everySite(ledger), nowIso())
      log({ level: 'info', message: 'fleet counted', sites })
    },
    async learn(): Promise<void> {
      const learnt = await learnFleet(ledger, await parametersInForce(ledger), nowIso())
      if (!learnt) return
      const { version } = learnt.parameters
      log({ level: 'info', message: 'learnt', version, counts: learnt.counts })
      if (!deps.settings.adoptLearnt) return
      await ledger.adoptParameters({ version, by: 'setting', at: nowIso() })
      await rejudgeAll(ledger, deps.compareQueue, { stamp: deps.newId(), nowIso: nowIso() })
    },
  }
}
