/** When each site is visited, by whom and with what: one visit tests most of its electrodes in one to three days. */
import { dayOf, isoDay, monthStart, weekday } from './day.ts'
import { type DemoElectrode, electrodesOf } from './electrode.ts'
import { randomFor } from './random.ts'
import type { Site } from './site.ts'
import { SITES } from './site-list.ts'

export interface Crew {
  tester: string
  secondPerson: string
  instrumentId: string
}

/** One planned test of one electrode. */
export interface PlannedTest {
  electrode: DemoElectrode
  day: number
  /** Minutes after midnight, local time. */
  minute: number
  crew: Crew
  purpose: 'commissioning' | 'periodic' | 'after-repair' | 'after-fault' | 'investigation'
  /** Readings at every tenth, whatever the electrode's practice. */
  full: boolean
}

const LAST_DAY = dayOf('2026-10-31')
const TESTS_A_DAY = 6

const PEOPLE: Record<Site['crew'], readonly string[]> = {
  north: ['Odrin V.', 'Maelis K.', 'Tarv O.'],
  south: ['Ysolt B.', 'Corm A.', 'Neddy R.'],
  east: ['Pelvin S.', 'Rüna T.', 'Ilka M.'],
  west: ['Jorun E.', 'Haslet D.', 'Wynka P.'],
}
const INSTRUMENT = { north: 'DEMO-M1', south: 'DEMO-M2', east: 'DEMO-M3', west: 'DEMO-M4' } as const
/** The instrument that is borrowed while the own one is away. */
const SPARE = 'DEMO-M5'

export function crewOn(site: Site, day: number): Crew {
  const random = randomFor('crew', site.siteId, day)
  const [tester, secondPerson] = random.chance(0.5) ? [0, 1] : [1, 2]
  // Never while the story needs the east crew's own instrument.
  const year = isoDay(day).slice(0, 4)
  const spare = random.chance(0.12) && !(site.crew === 'east' && year === '2023')
  return {
    tester: PEOPLE[site.crew][tester!]!,
    secondPerson: PEOPLE[site.crew][secondPerson!]!,
    instrumentId: spare ? SPARE : INSTRUMENT[site.crew],
  }
}

/** A site whose last visit has not been made: its electrodes are overdue. */
const OWED = { siteId: 'DEMO-ILVENQUAY', from: dayOf('2026-09-01') }

/** First working day of each visit. */
function visitDays(site: Site): number[] {
  const days: number[] = []
  for (let months = 0; ; months += site.visitMonths) {
    const start = monthStart(site.firstVisit, months)
    if (start > LAST_DAY) return days
    let day = start + randomFor('visit', site.siteId, months).whole(3, 20)
    while (weekday(day) === 0 || weekday(day) === 6) day++
    const owed = site.siteId === OWED.siteId && day >= OWED.from
    if (day + 3 <= LAST_DAY && !owed) days.push(day)
  }
}

function isDue(of: DemoElectrode, visit: number): boolean {
  const every = Math.round((of.register.retestMonths ?? of.site.visitMonths) / of.site.visitMonths)
  return visit % every === 0
}

function visitsOf(site: Site): PlannedTest[] {
  const electrodes = electrodesOf(site)
  return visitDays(site).flatMap((firstDay, visit) => {
    const crew = crewOn(site, firstDay)
    const random = randomFor('plan', site.siteId, visit)
    const round = electrodes.filter(
      // A new electrode waits for its second test; now and then one is simply missed.
      (of) => isDue(of, visit) && firstDay > of.installedDay + 30 && !(visit > 0 && random.chance(0.012)),
    )
    return round.map(
      (electrode, place): PlannedTest => ({
        electrode,
        day: workingDay(firstDay, Math.floor(place / TESTS_A_DAY)),
        minute: 8 * 60 + 30 + (place % TESTS_A_DAY) * 70 + random.whole(0, 25),
        crew,
        purpose: 'periodic',
        full: visit % 8 === 0,
      }),
    )
  })
}

/** So many working days on. */
export function workingDay(from: number, steps: number): number {
  let day = from
  for (let left = steps; left > 0 || weekday(day) === 0 || weekday(day) === 6; ) {
    day++
    if (weekday(day) !== 0 && weekday(day) !== 6) left--
  }
  return day
}

function commissioning(site: Site): PlannedTest[] {
  return electrodesOf(site)
    .filter((of) => of.installedDay >= dayOf('2016-11-01'))
    .map((electrode) => {
      const day = workingDay(electrode.installedDay + 3, 0)
      return {
        electrode,
        day,
        minute: 10 * 60 + 15,
        crew: crewOn(site, day),
        purpose: 'commissioning',
        full: true,
      }
    })
}

/** Every test the rounds ask for, in order of date. */
export function plannedTests(): PlannedTest[] {
  return SITES.flatMap((site) => [...commissioning(site), ...visitsOf(site)]).sort(
    (a, b) =>
      a.day - b.day ||
      a.minute - b.minute ||
      (a.electrode.register.electrodeId < b.electrode.register.electrodeId ? -1 : 1),
  )
}
