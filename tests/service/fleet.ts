import { seeded } from '../../sample-data/make/random.ts'

/** A small invented fleet for service tests: same numbers every time, a few planted troubles so that findings appear. */

export interface Fleet {
  registerCsv: string
  /** Header and one row a survey, wide form. */
  header: string
  rows: string[]
}

const id = (e: number) => `T-${String(e).padStart(3, '0')}`

/** `electrodes` rods at ten to a site, each tested `testsEach` times a quarter-year apart; every 7th breaks half-way. */
export function makeFleet(electrodes: number, testsEach: number, seed = 1): Fleet {
  const random = seeded(seed)
  const register = [
    'electrode_id,site_id,kind,length_m,diameter_mm,limit_ohm,responsible_email,retest_months',
  ]
  const rows: string[] = []
  for (let e = 0; e < electrodes; e++) {
    const site = `TS-${Math.floor(e / 10)}`
    register.push(`${id(e)},${site},rod,3,16,25,engineer${e % 3}@example.org,12`)
    const level = 8 + 10 * random()
    for (let t = 0; t < testsEach; t++) {
      const broken = e % 7 === 0 && t >= testsEach / 2 ? 2.4 : 1
      const day = new Date(Date.UTC(2018, 3 * t, 1 + (e % 27), 10)).toISOString()
      const ohm = (lift: number) => (level * broken * lift * (1 + 0.01 * (random() - 0.5))).toFixed(2)
      rows.push(`${id(e)}-${t},${id(e)},${day},30,electrode-alone,${ohm(0.985)},${ohm(1)},${ohm(1.015)}`)
    }
  }
  return {
    registerCsv: `${register.join('\n')}\n`,
    header: 'survey_ref,electrode_id,tested_at,current_probe_m,measured_as,r52_ohm,r62_ohm,r72_ohm',
    rows,
  }
}

export const csvOf = (fleet: Fleet, rows = fleet.rows): string => `${[fleet.header, ...rows].join('\n')}\n`
