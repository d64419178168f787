/** What the maker knows of a site. */
import type { ElectrodeKind } from '../../shared-lib/survey/register.ts'
import type { Soil } from './kernel.ts'

/** Which file a site's crew hands in. */
export type Dialect = 'long' | 'wide' | 'semicolon'

export interface Site {
  siteId: string
  /** Three letters in the ids of its electrodes. */
  letters: string
  place: string
  latitude: number
  longitude: number
  /** Absent: the register leaves it empty, so UTC. `Etc` zones only: they name no place. Their sign is the reverse of the offset. */
  timeZone?: string
  offset: string
  climate: 'dry' | 'cold' | 'mild'
  soil: Soil
  firstVisit: string
  visitMonths: number
  crew: 'north' | 'south' | 'east' | 'west'
  dialect: Dialect
  /** Electrodes by kind, in the order of their numbers. */
  plot: readonly (readonly [ElectrodeKind, number])[]
}
