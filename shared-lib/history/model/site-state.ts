import type { Beliefs } from './beliefs.ts'
import type { Member } from './member.ts'
import { priorSeason, type Season } from './season.ts'
import { newSiteNoise, type SiteNoise } from './site-noise.ts'
import type { SiteVisit } from './site-visit.ts'

/** All that a site's replay carries from visit to visit; what comes later depends on nothing else. */
export interface SiteState {
  members: Member[]
  season: Season
  noise: SiteNoise
  visits: SiteVisit[]
  /** How far up people were last told the site has gone, ln; 0 when nothing stands. */
  driftToldLn: number
  /** First day of the last visit judged; null before any. */
  lastVisitDay: number | null
}

export function newSiteState(b: Beliefs): SiteState {
  return {
    members: [],
    season: priorSeason(b),
    noise: newSiteNoise(),
    visits: [],
    driftToldLn: 0,
    lastVisitDay: null,
  }
}
