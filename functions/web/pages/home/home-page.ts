import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { queueCard } from '../findings/queue-card.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'

/** A count that was stopped at a bound says so: `25 or more`. */
export interface Count {
  counted: number
  more: boolean
}

export interface HomeParts {
  person: Person
  openFindings: Count
  worst: readonly FindingItem[]
  electrodes: Count
  dueThisMonth: Count
  uploadsAtWork: number
  held: Count | null
  nowMs: number
}

/** Where each role begins: field hands in, quality sees what is open, an engineer the own electrodes. */
export function homePage(parts: HomeParts): Html {
  const { person } = parts
  const urgent = parts.worst.filter((f) => f.severity === 'urgent')
  const mine = person.role === 'engineer' ? 'electrodes you answer for' : 'electrodes you see'
  const atWork = parts.uploadsAtWork
  const tiles = [
    tile(
      paths.findings,
      countWords(parts.openFindings),
      parts.openFindings.counted === 1 ? 'open finding' : 'open findings',
    ),
    tile(paths.due, countWords(parts.dueThisMonth), 'due up to the end of this month'),
    tile(paths.electrodes, countWords(parts.electrodes), mine),
    ...(parts.held === null
      ? []
      : [tile(paths.held, countWords(parts.held), 'held for an unknown electrode')]),
    tile(
      paths.uploads,
      atWork === 0 ? 'Upload' : String(atWork),
      atWork === 0 ? 'a CSV file of surveys' : 'uploads being read',
    ),
    ...(person.role === 'field' ? [] : [tile(paths.newSurvey(), 'Hand in', 'one survey by form')]),
  ]
  const findingsFirst = person.role !== 'field'
  return html`<h1>${greeting(person)}</h1>
${urgent.length === 0 ? nothing : html`<h2>Urgent</h2>${urgent.map((f) => card(f, parts))}`}
${person.role === 'field' ? html`<p class="actions"><a class="button main" href="${paths.newSurvey()}">Hand in a survey</a></p>` : nothing}
<ul class="tiles">${tiles}</ul>
${findingsFirst && parts.worst.length > urgent.length ? html`<h2>Open longest and gravest</h2>${parts.worst.filter((f) => f.severity !== 'urgent').map((f) => card(f, parts))}` : nothing}`
}

function card(finding: FindingItem, { nowMs }: HomeParts): Html {
  return queueCard({ finding, nowMs, mayDecide: false, level: 3 })
}

function tile(href: string, big: string, words: string): Html {
  return html`<li><a href="${href}"><span class="big">${big}</span><span class="aside">${words}</span></a></li>`
}

function countWords({ counted, more }: Count): string {
  return more ? `${counted} or more` : String(counted)
}

function greeting(person: Person): string {
  switch (person.role) {
    case 'field':
      return 'Field work'
    case 'quality':
      return 'What is open'
    case 'engineer':
      return 'Your electrodes'
    case 'admin':
      return 'Overview'
  }
}
