import { html } from 'hono/html'
import type { FindingItem, Untold } from '../../shared-lib/ledger/ledger.ts'
import type { OutgoingMail } from '../../shared-lib/ports/mail.ts'
import { FINDING_CODES } from '../../shared-lib/survey/finding.ts'
import { sha256Hex } from '../../shared-lib/survey/sha256.ts'

export interface MailSettings {
  operatorName: string
  /** Where links point, without a trailing slash. */
  baseUrl: string
  /** Domain of message ids, e.g. `stakeline.example.org`. */
  mailDomain: string
}

/** Findings told in full; the rest is counted and linked. */
const IN_FULL = 10
const LOCAL_RULES =
  "Local law, the operator's rules and the person in control of the system come first. Open no earth on the strength of this mail."

const WORST_FIRST: Record<string, number> = { urgent: 0, warning: 1, notice: 2 }
function worstFirst(a: FindingItem, b: FindingItem): number {
  return (
    WORST_FIRST[a.severity]! - WORST_FIRST[b.severity]! ||
    FINDING_CODES.indexOf(a.code) - FINDING_CODES.indexOf(b.code) ||
    (b.probability ?? 0) - (a.probability ?? 0) ||
    (a.id < b.id ? -1 : 1)
  )
}

const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`

function subjectLine(findings: FindingItem[], urgent: boolean, allOld: boolean): string {
  const first = findings[0]!
  if (urgent) return `URGENT ${first.electrodeId}: ${titleOf(first.code)}`
  const electrodes = new Set(findings.map((f) => f.electrodeId)).size
  if (findings.length === 1) return `${first.electrodeId}: ${titleOf(first.code)}`
  const what = `${count(findings.length, 'finding', 'findings')} on ${count(electrodes, 'electrode', 'electrodes')}`
  return allOld ? `${what}, from earlier tests handed in now` : what
}

/** `step-rise` -> `step rise`: the code's own words are plain enough. */
const titleOf = (code: string) => code.replaceAll('-', ' ')

const chance = (f: FindingItem) =>
  f.probability === null
    ? ''
    : ` (estimated chance ${Math.round(f.probability * 100)} %, not yet checked here)`

/**
 * One message about these findings: what is seen, what to do, the numbers, a link that shows and acts on nothing by itself.
 * The message id is made from what is told, so the same news sent twice after a crash is the same message.
 */
export function composeMail(
  recipient: string,
  findings: FindingItem[],
  told: Untold[],
  when: { urgent: boolean; atMs: number },
  settings: MailSettings,
): OutgoingMail {
  const sorted = [...findings].sort(worstFirst)
  const full = sorted.slice(0, IN_FULL)
  const more = sorted.length - full.length
  const allOld = told.length > 0 && told.every((t) => t.old)
  const key = [recipient, ...sorted.map((f) => f.id).sort()].join('\n')
  const link = (f: FindingItem) => `${settings.baseUrl}/findings/${encodeURIComponent(f.id)}`
  const listLink = `${settings.baseUrl}/findings`
  const intro = when.urgent
    ? 'This is told at once and alone, because somebody may be at risk.'
    : allOld
      ? 'These come from earlier tests that were handed in now.'
      : 'These tests need a look.'

  const textOf = (f: FindingItem) =>
    [
      `${f.electrodeId} (site ${f.siteId}), tested ${f.testedAt.slice(0, 10)}, survey ${f.surveyRef}`,
      `${titleOf(f.code)}${chance(f)}`,
      f.message,
      ...f.advice.map((a) => `- ${a}`),
      ...evidenceLines(f).map((l) => `  ${l}`),
      link(f),
    ].join('\n')
  const text = [
    intro,
    '',
    ...full.flatMap((f) => [textOf(f), '']),
    ...(more > 0 ? [`And ${more} more: ${listLink}`, ''] : []),
    LOCAL_RULES,
    '',
    `${settings.operatorName}, stakeline. Links show; they decide nothing and open only after signing in.`,
  ].join('\n')

  const body = html`<!doctype html><html lang="en"><body style="font-family:sans-serif;max-width:40em">
<p>${intro}</p>
${full.map(
  (f) => html`<h2 style="font-size:1.1em;margin-bottom:0">${f.electrodeId}: ${titleOf(f.code)}</h2>
<p style="margin-top:0">Site ${f.siteId}, tested ${f.testedAt.slice(0, 10)}, survey ${f.surveyRef}${chance(f)}</p>
<p>${f.message}</p>
${f.advice.length > 0 ? html`<ul>${f.advice.map((a) => html`<li>${a}</li>`)}</ul>` : ''}
<table>${evidenceRows(f).map(([k, v]) => html`<tr><th align="left">${k}</th><td>${v}</td></tr>`)}</table>
<p><a href="${link(f)}">See the evidence and decide</a></p>`,
)}
${more > 0 ? html`<p><a href="${listLink}">And ${more} more</a></p>` : ''}
<p>${LOCAL_RULES}</p>
<p><small>${settings.operatorName}, stakeline. Links show; they decide nothing and open only after signing in.</small></p>
</body></html>`

  return {
    messageId: `${sha256Hex(key).slice(0, 32)}@${settings.mailDomain}`,
    to: recipient,
    subject: subjectLine(sorted, when.urgent, allOld),
    text,
    html: String(body),
    atMs: when.atMs,
  }
}

/** The evidence's plain numbers and words; nested parts are for the page. */
function evidenceRows(f: FindingItem): [string, string][] {
  return Object.entries(f.evidence)
    .filter(([, v]) => typeof v === 'number' || typeof v === 'string')
    .map(([k, v]) => [spaced(k), typeof v === 'number' ? String(Number(v.toPrecision(4))) : String(v)])
}
const evidenceLines = (f: FindingItem) => evidenceRows(f).map(([k, v]) => `${k}: ${v}`)
/** `expectedOhm` -> `expected ohm`. */
const spaced = (key: string) =>
  key
    .replace(/([a-z0-9])([A-Z])/g, '$1 $2')
    .replace(/([A-Z])([A-Z][a-z])/g, '$1 $2')
    .toLowerCase()
