import { wordOf } from './cells.ts'
import type { Column } from './header.ts'
import { METHODS, type Method } from './survey.ts'

/** Which columns a survey file must have, given what was done in it. */

const LINE_METHODS: readonly Method[] = ['fall-of-potential', 'slope']
const WITHOUT_ELECTRODE: readonly Method[] = ['four-point', 'check-resistor']

/** What a look through the rows tells about the surveys: methods of those that were tested, and of all. */
export interface MethodsSeen {
  add(method: string | undefined, outcome: string | undefined): void
  readonly all: ReadonlySet<Method>
  readonly tested: ReadonlySet<Method>
}

export function createMethodsSeen(): MethodsSeen {
  const all = new Set<Method>()
  const tested = new Set<Method>()
  const known = new Map<string, Method>()
  return {
    all,
    tested,
    add(cell = '', outcome = '') {
      let method = known.get(cell)
      if (method === undefined) {
        // A word that is not known is refused with its row; here it counts as the default.
        method = (wordOf(cell, METHODS) ?? 'fall-of-potential') as Method
        if (known.size < 1000) known.set(cell, method)
      }
      all.add(method)
      const written = outcome.trim().toLowerCase()
      if (written === '' || written === 'tested') tested.add(method)
    },
  }
}

const every = (methods: ReadonlySet<Method>, among: readonly Method[]) =>
  methods.size > 0 && [...methods].every((method) => among.includes(method))

/** Names of the needed columns that the file lacks. A column that only some methods need is missed when every survey needs it. */
export function missingColumns(columns: readonly Column[], seen: MethodsSeen): string[] {
  const has = (key: string) => columns.some((column) => column.key === key && column.level !== 'wide')
  const wide = columns.some((column) => column.level === 'wide')
  const empty = seen.all.size === 0
  const missing: string[] = []
  if (!has('surveyRef')) missing.push('survey_ref')
  if (!has('electrodeId')) {
    if (!every(seen.all, WITHOUT_ELECTRODE)) missing.push('electrode_id')
    else if (seen.all.has('four-point') && !has('siteId')) missing.push('site_id')
  }
  if (!has('testedAt')) missing.push('tested_at')
  if (empty || every(seen.tested, LINE_METHODS)) {
    if (!has('currentProbeM')) missing.push('current_probe_m')
    if (!wide && !has('potentialProbeM')) missing.push('potential_probe_m')
  }
  if ((empty || seen.tested.size > 0) && !wide && !has('resistanceOhm') && !has('condition'))
    missing.push('resistance_ohm')
  return missing
}
