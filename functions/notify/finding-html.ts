import { html } from 'hono/html'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'
import { number } from '../../shared-lib/survey/number-words.ts'
import { type ValueRow, valueRows } from './earlier-values.ts'
import { alternativesLine, cautionLine, chanceNote, factRows } from './mail-words.ts'

const RULED = 'border-collapse:collapse'
const LEFT = 'text-align:left;padding:2px 8px 2px 0'
const RIGHT = 'text-align:right;padding:2px 8px'

/** One finding as HTML that reads well in a mail program and by a screen reader: tables have a caption and header cells. */
export function findingHtml(f: FindingItem, link: string) {
  const rows = valueRows(f)
  const also = alternativesLine(f)
  const caution = cautionLine(f)
  const facts = factRows(f, rows.length > 0)
  return html`<h2 style="font-size:1.1em;margin-bottom:0">${f.electrodeId}: ${FINDING_TITLES[f.code]}</h2>
<p style="margin-top:0">Site ${f.siteId}, tested ${f.testedAt.slice(0, 10)}, survey ${f.surveyRef}${chanceNote(f)}</p>
<p>${f.message}</p>
${also === null ? '' : html`<p>${also}</p>`}
${f.advice.length > 0 ? html`<ol>${f.advice.map((a) => html`<li>${a}</li>`)}</ol>` : ''}
${caution === null ? '' : html`<p><strong>Caution:</strong> ${caution}</p>`}
${rows.length > 0 ? valueTable(f, rows) : ''}
${
  facts.length > 0
    ? html`<table style="${RULED}"><caption style="${LEFT}">Numbers of this finding</caption><tbody>${facts.map(([name, value]) => html`<tr><th scope="row" style="${LEFT}">${name}</th><td style="${RIGHT}">${value}</td></tr>`)}</tbody></table>`
    : ''
}
<p><a href="${link}">See why ${f.electrodeId} is told, and decide</a></p>`
}

function valueTable(f: FindingItem, rows: readonly ValueRow[]) {
  return html`<table style="${RULED}"><caption style="${LEFT}">Values of ${f.electrodeId}, oldest first</caption>
<thead><tr><th scope="col" style="${LEFT}">Tested</th><th scope="col" style="${RIGHT}">Read, ohm</th><th scope="col" style="${RIGHT}">Expected, ohm</th><th scope="col" style="${LEFT}">Note</th></tr></thead>
<tbody>${rows.map(
    (r) =>
      html`<tr><th scope="row" style="${LEFT};white-space:nowrap">${r.day}</th><td style="${RIGHT}">${number(r.resistanceOhm)}</td><td style="${RIGHT}">${r.expectedOhm ? r.expectedOhm.map((bound) => number(bound)).join(' to ') : 'not known'}</td><td style="${LEFT}">${r.note}</td></tr>`,
  )}</tbody></table>`
}
