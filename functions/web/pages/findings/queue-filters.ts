import { FINDING_CODES } from '../../../../shared-lib/survey/finding.ts'
import { selectControl, textControl } from '../view/controls.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { FINDING_TITLES } from '../view/words.ts'

/** The queue's filter as its address says it; also what links to a view share. */
export interface QueueQuery {
  site?: string
  electrode?: string
  state?: string
  kind?: string
  instrument?: string
  crew?: string
  day?: string
  engineer?: string
  older?: string
  group?: string
  cursor?: string
}

const STATES = [
  { value: 'open', label: 'Open' },
  { value: 'closed', label: 'Closed' },
  { value: 'all', label: 'All' },
]

export const GROUPS = [
  { value: 'kind', label: 'what is seen' },
  { value: 'site', label: 'site' },
  { value: 'instrument', label: 'instrument' },
  { value: 'crew', label: 'tester' },
  { value: 'day', label: 'day of the test' },
] as const

const AGES = [
  { value: '2', label: '2 days or more' },
  { value: '7', label: '7 days or more' },
  { value: '14', label: '14 days or more' },
  { value: '30', label: '30 days or more' },
]

/** True where anything at all is narrowed. */
export const isNarrowed = ({ group: _, cursor: __, state, ...rest }: QueueQuery): boolean =>
  Object.keys(rest).length > 0 || (state !== undefined && state !== 'open')

export function queueFilters(query: QueueQuery): Html {
  const { cursor: _, group: __, ...shared } = query
  const rare = ['instrument', 'crew', 'day', 'engineer', 'older'].some((k) => k in query)
  return html`<form class="find" method="get" action="${paths.findings}">
${selectControl({ id: 'kind', label: 'What is seen', value: query.kind, none: 'Anything', choices: FINDING_CODES.map((code) => ({ value: code, label: FINDING_TITLES[code] })) })}
${textControl({ id: 'site', label: 'Site', value: query.site, kind: 'search' })}
${textControl({ id: 'electrode', label: 'Electrode', value: query.electrode, kind: 'search' })}
${selectControl({ id: 'state', label: 'State', value: query.state ?? 'open', choices: STATES })}
<details class="more-filters"${rare ? html` open` : nothing}><summary>More</summary><div class="find-more">
${textControl({ id: 'instrument', label: 'Instrument', value: query.instrument, kind: 'search' })}
${textControl({ id: 'crew', label: 'Tester', value: query.crew, kind: 'search' })}
${textControl({ id: 'day', label: 'Tested on, such as 2026-05-04', value: query.day, kind: 'search' })}
${textControl({ id: 'engineer', label: 'Engineer (e-mail)', value: query.engineer, kind: 'search' })}
${selectControl({ id: 'older', label: 'Raised', value: query.older, none: 'At any time', choices: AGES })}</div></details>
<button type="submit">Show</button>${isNarrowed(query) ? html` <a class="button" href="${paths.findings}">Show all open</a>` : nothing}
</form>
<p class="views screen">By ${GROUPS.map((g, i) => html`${i === 0 ? '' : ' · '}<a href="${withQuery(paths.findings, { ...shared, group: g.value })}"${query.group === g.value ? html` aria-current="true"` : nothing}>${g.label}</a>`)}${query.group === undefined ? nothing : html` · <a href="${withQuery(paths.findings, { ...shared })}">one by one</a>`} · <a href="${withQuery(paths.findingsCsv, { ...shared })}">this list as CSV</a></p>`
}
