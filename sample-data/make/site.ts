/** The invented operator's sites: where they are said to be (open ocean), what soil, what weather, what is in the ground. */
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

const soil = (upperOhmM: number, lowerOhmM: number, depthM: number): Soil => ({ upperOhmM, lowerOhmM, depthM })
const WEST2 = { timeZone: 'Etc/GMT+2', offset: '-02:00' }
const WEST3 = { timeZone: 'Etc/GMT+3', offset: '-03:00' }
const UTC = { offset: 'Z' }

export const SITES: readonly Site[] = [
  {
    siteId: 'DEMO-ARNVEY', letters: 'ARN', place: 'Arnvey switching station', latitude: 53.42, longitude: -33.15, ...WEST2,
    climate: 'cold', soil: soil(80, 120, 4), firstVisit: '2016-11', visitMonths: 6, crew: 'north', dialect: 'long',
    plot: [['grid', 1], ['foundation', 2], ['ring', 2], ['rod-group', 3], ['rod', 3], ['wire', 1]],
  },
  {
    siteId: 'DEMO-BELDROSSA', letters: 'BEL', place: 'Beldrossa mast field', latitude: 34.61, longitude: -44.87, ...WEST3,
    climate: 'dry', soil: soil(150, 60, 3), firstVisit: '2017-02', visitMonths: 6, crew: 'south', dialect: 'long',
    plot: [['ring', 3], ['rod-group', 3], ['rod', 4], ['wire', 2]],
  },
  {
    siteId: 'DEMO-CORVANDLE', letters: 'COR', place: 'Corvandle pump works', latitude: 41.28, longitude: -39.52, ...UTC,
    climate: 'mild', soil: soil(60, 40, 2.5), firstVisit: '2016-12', visitMonths: 6, crew: 'west', dialect: 'wide',
    plot: [['rod', 5], ['plate', 2], ['foundation', 2], ['rod-group', 2], ['other', 1]],
  },
  {
    siteId: 'DEMO-DUNMERREL', letters: 'DUN', place: 'Dunmerrel tank depot', latitude: 33.95, longitude: -46.33, ...WEST3,
    climate: 'dry', soil: soil(120, 200, 5), firstVisit: '2016-11', visitMonths: 5, crew: 'south', dialect: 'long',
    plot: [['ring', 3], ['rod', 4], ['rod-group', 3], ['plate', 1]],
  },
  {
    siteId: 'DEMO-ESKOLM', letters: 'ESK', place: 'Eskolm solar field', latitude: 32.74, longitude: -47.9, ...WEST3,
    climate: 'dry', soil: soil(45, 30, 6), firstVisit: '2017-03', visitMonths: 6, crew: 'east', dialect: 'semicolon',
    plot: [['wire', 4], ['rod', 4], ['grid', 1], ['other', 1]],
  },
  {
    siteId: 'DEMO-FENNARY', letters: 'FEN', place: 'Fennary overhead line', latitude: 55.08, longitude: -31.66, ...WEST2,
    climate: 'cold', soil: soil(180, 300, 3), firstVisit: '2017-06', visitMonths: 12, crew: 'north', dialect: 'long',
    plot: [['tower-footing', 10], ['wire', 2]],
  },
  {
    siteId: 'DEMO-GORSEVANE', letters: 'GOR', place: 'Gorsevane radio hill', latitude: 54.77, longitude: -34.02, ...WEST2,
    climate: 'cold', soil: soil(260, 420, 2), firstVisit: '2017-02', visitMonths: 6, crew: 'west', dialect: 'wide',
    plot: [['ring', 2], ['wire', 3], ['rod-group', 3], ['tower-footing', 2]],
  },
  {
    siteId: 'DEMO-HATHMERE', letters: 'HAT', place: 'Hathmere village supplies', latitude: 35.3, longitude: -43.71, ...WEST3,
    climate: 'dry', soil: soil(90, 90, 3), firstVisit: '2017-03', visitMonths: 6, crew: 'east', dialect: 'long',
    plot: [['rod', 12], ['rod-group', 2]],
  },
  {
    siteId: 'DEMO-ILVENQUAY', letters: 'ILV', place: 'Ilvenquay harbour', latitude: 42.06, longitude: -38.44, ...UTC,
    climate: 'mild', soil: soil(28, 12, 2), firstVisit: '2017-04', visitMonths: 6, crew: 'east', dialect: 'semicolon',
    plot: [['foundation', 2], ['plate', 2], ['rod', 3], ['grid', 1], ['other', 1]],
  },
  {
    siteId: 'DEMO-JORRUNDEL', letters: 'JOR', place: 'Jorrundel wind park', latitude: 43.19, longitude: -40.6, ...WEST3,
    climate: 'mild', soil: soil(170, 90, 4), firstVisit: '2017-05', visitMonths: 12, crew: 'west', dialect: 'wide',
    plot: [['ring', 4], ['foundation', 3], ['grid', 1]],
  },
  {
    siteId: 'DEMO-KESTRALOW', letters: 'KES', place: 'Kestralow weather hut', latitude: 36.52, longitude: -42.28, ...UTC,
    climate: 'mild', soil: soil(110, 110, 3), firstVisit: '2017-09', visitMonths: 12, crew: 'south', dialect: 'long',
    plot: [['rod', 1]],
  },
]
