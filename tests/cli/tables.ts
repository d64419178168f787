/** Small invented tables for the command's tests. */

export const ELECTRODES = `electrode_id,site_id,kind,length_m,diameter_mm,limit_ohm
E-1,HILL,rod,3,16,25
E-2,HILL,rod,3,16,25
E-3,VALE,rod,2.4,16,25
`

export const SURVEY_HEADING =
  'survey_ref,electrode_id,tested_at,current_probe_m,measured_as,r52_ohm,r62_ohm,r72_ohm'

/** One wide row: readings that rise by 1.5 % from 52 to 72 %, as in even soil with the current probe at ten times the depth. */
export function row(ref: string, electrode: string, testedAt: string, ohm: number): string {
  const at = (factor: number) => (ohm * factor).toFixed(2)
  return `${ref},${electrode},${testedAt},30,electrode-alone,${at(0.985)},${at(1)},${at(1.015)}`
}

export const surveys = (...rows: string[]): string => `${[SURVEY_HEADING, ...rows].join('\n')}\n`

/** Five steady years of E-1 and one test at 2.5 times the value: something broke. */
export const BROKEN: string[] = [
  ...[2019, 2020, 2021, 2022, 2023].map((year, n) =>
    row(`S-${n}`, 'E-1', `${year}-05-04T10:00:00Z`, 11 + n / 50),
  ),
  row('S-9', 'E-1', '2024-05-04T10:00:00Z', 28),
]
