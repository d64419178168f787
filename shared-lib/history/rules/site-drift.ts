import type { Finding } from '../../survey/finding.ts'
import { dayText, rounded } from '../comparison.ts'
import { DAY_MS } from '../days.ts'
import type { Beliefs } from '../model/beliefs.ts'
import { type SiteDrift, siteDriftOf } from '../model/site-level.ts'
import type { SiteState } from '../model/site-state.ts'
import type { SiteVisit } from '../model/site-visit.ts'
import type { Entry } from '../model/visits.ts'

/** Raised from this chance on, and only for a rise that matters. */
const LIKELY = 0.8
const LEAST_RISE_LN = Math.log(1.15)
/** Told again when it has grown by this much more. */
const GROWN_LN = Math.log(1.25)
/** One or two electrodes that rise are no site. */
const FEWEST_ELECTRODES = 3

/**
 * `site-drift`: the site as a whole goes up beyond its season, so that its electrodes cannot show it against each other. One
 * finding a site, kept with the electrode that has risen most; its evidence names the others.
 */
export function siteDrift(
  state: SiteState,
  entries: readonly Entry[],
  levelKnown: boolean,
  b: Beliefs,
): { entry: Entry; finding: Finding }[] {
  const visit = state.visits.at(-1)
  if (!levelKnown || !visit) return []
  const few = new Set(visit.words.map((w) => w.electrodeId)).size < FEWEST_ELECTRODES
  // Nothing could be told, and nothing told stands that could end.
  if (few && state.driftToldLn === 0) return []
  const drift = siteDriftOf(state.visits, b)
  if (!drift || drift.chance < 0.5) state.driftToldLn = 0
  if (!drift || drift.chance < LIKELY || drift.riseLn < LEAST_RISE_LN) return []
  if (state.driftToldLn > 0 && drift.riseLn < state.driftToldLn + GROWN_LN) return []
  if (few) return []
  const rising = risingOf(visit, drift)
  const entry = rising
    .map((id) => entries.find((e) => e.member.electrode.electrodeId === id))
    .find((e) => e !== undefined && !e.excluded && !e.frozen)
  if (!entry) return []
  state.driftToldLn = drift.riseLn
  return [{ entry, finding: findingOf(entry, visit, drift, rising) }]
}

/** The electrodes that stand at least half the drift above their own level, the highest first. */
function risingOf(visit: SiteVisit, drift: SiteDrift): string[] {
  const season = drift.fitted.at(-1)!
  const base = visit.g - season.off
  return visit.words
    .filter((w) => w.r - base > 0.5 * drift.riseLn)
    .sort((x, y) => y.r - x.r || (x.electrodeId < y.electrodeId ? -1 : 1))
    .map((w) => w.electrodeId)
}

function findingOf(entry: Entry, visit: SiteVisit, drift: SiteDrift, rising: readonly string[]): Finding {
  const percent = (ln: number) => rounded((Math.exp(ln) - 1) * 100, 2)
  const on = (day: number) => dayText(day * DAY_MS)
  const { siteId } = entry.member.electrode
  const count = new Set(visit.words.map((w) => w.electrodeId)).size
  return {
    code: 'site-drift',
    severity: 'warning',
    probability: rounded(Math.min(0.97, drift.chance), 2),
    message: `Site ${siteId} as a whole has risen by ${percent(drift.riseLn)} % beyond its season since ${on(drift.sinceDay)}, ${rising.length} of ${count} electrodes with it. Have the conductor and joints they share looked at, and test them again in another season.`,
    advice: [
      'Look for a shared conductor that was cut, taken or has corroded.',
      'Ask what has changed in the ground here: drainage, paving, a lower water table.',
      'Open no link for this without the person in control of the system: local rules and licensed practice come first.',
    ],
    evidence: {
      site: {
        siteId,
        electrodes: count,
        rising: [...rising],
        risePercent: percent(drift.riseLn),
        since: on(drift.sinceDay),
        visits: drift.fitted.slice(-16).map((f) => ({
          on: on(f.day),
          offSeasonPercent: percent(f.off),
          driftPercent: percent(f.drift),
        })),
      },
      alternatives: [
        { explanation: 'the site as a whole goes up', probability: rounded(drift.chance, 2) },
        { explanation: 'a run of dry seasons', probability: rounded(1 - drift.chance, 2) },
      ],
    },
  }
}
