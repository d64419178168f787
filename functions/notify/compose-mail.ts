import { html } from 'hono/html'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { Settled, Untold } from '../../shared-lib/ledger/kept/telling.ts'
import type { OutgoingMail } from '../../shared-lib/ports/mail.ts'
import { FINDING_CODES } from '../../shared-lib/survey/finding.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'
import { sha256Hex } from '../../shared-lib/survey/sha256.ts'
import { findingHtml } from './finding-html.ts'
import { findingText } from './finding-text.ts'
import { settledLines } from './settled-lines.ts'

export interface MailSettings {
  operatorName: string
  /** Where links point, without a trailing slash. */
  baseUrl: string
  /** Domain of message ids, e.g. `stakeline.example.org`. */
  mailDomain: string
}

/** Findings told in full; the rest is counted and linked. */
const IN_FULL = 10
const ENDED = 'What you were told of before and is settled now:'
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

/** Mail has no zone of its reader: UTC, and said so. */
const minute = (iso: string) => `${new Date(iso).toISOString().slice(0, 16).replace('T', ' ')} UTC`

const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`

function subjectLine(findings: FindingItem[], urgent: boolean, allOld: boolean): string {
  const first = findings[0]!
  if (urgent) return `URGENT ${first.electrodeId}: ${FINDING_TITLES[first.code]}`
  const electrodes = new Set(findings.map((f) => f.electrodeId)).size
  if (findings.length === 1) return `${first.electrodeId}: ${FINDING_TITLES[first.code]}`
  const what = `${count(findings.length, 'finding', 'findings')} on ${count(electrodes, 'electrode', 'electrodes')}`
  return allOld ? `${what}, from earlier tests handed in now` : what
}

/** The queue narrowed to what all of these have in common, as far as the queue can be narrowed. */
function listLink(findings: readonly FindingItem[], baseUrl: string): string {
  const shared = (of: (f: FindingItem) => string | undefined) => {
    const first = of(findings[0]!)
    return findings.every((f) => of(f) === first) ? first : undefined
  }
  const query = new URLSearchParams()
  const site = shared((f) => f.siteId)
  const kind = shared((f) => f.code)
  const engineer = shared((f) => f.responsibleEmail)
  if (site !== undefined) query.set('site', site)
  if (kind !== undefined) query.set('kind', kind)
  if (engineer !== undefined) query.set('engineer', engineer)
  return `${baseUrl}/findings${query.size > 0 ? `?${query}` : ''}`
}

/**
 * The id of a message: from who is told, and what, and how grave it is. The same news sent again after a crash is the same message;
 * a warning that has become urgent is another.
 */
function messageIdOf(recipient: string, findings: readonly FindingItem[], domain: string): string {
  const key = JSON.stringify([recipient, ...findings.map((f) => `${f.severity} ${f.id}`).sort()])
  return `${sha256Hex(key).slice(0, 32)}@${domain}`
}

/** One message about these findings, the worst in full; a link shows and acts on nothing by itself. */
export function composeMail(
  recipient: string,
  findings: FindingItem[],
  told: Untold[],
  when: { urgent: boolean; atMs: number; settled?: readonly Settled[] },
  settings: MailSettings,
): OutgoingMail {
  const sorted = [...findings].sort(worstFirst)
  const full = sorted.slice(0, IN_FULL)
  const more = sorted.length - full.length
  const allOld = told.length > 0 && told.every((t) => t.old)
  const link = (f: FindingItem) => `${settings.baseUrl}/findings/${encodeURIComponent(f.id)}`
  const list = listLink(sorted, settings.baseUrl)
  const unanswered = new Map(told.flatMap((t) => (t.unanswered ? [[t.findingId, t.unanswered]] : [])))
  const silence = (f: FindingItem): string[] => {
    const before = unanswered.get(f.id)
    return before
      ? [`Nobody has answered this. ${before.toldTo} was told when it was raised, ${minute(before.since)}.`]
      : []
  }
  const intro = when.urgent
    ? 'This is told at once and alone, because somebody may be at risk.'
    : allOld
      ? 'These come from earlier tests that were handed in now.'
      : 'These tests need a look.'
  const ended = settledLines(when.settled ?? [])
  const last = `${settings.operatorName}, stakeline. Links show; they decide nothing and open only after signing in.`
  const choice = `${settings.baseUrl}/mail-settings`

  const text = [
    ...[intro, ''],
    ...full.flatMap((f) => [...silence(f), findingText(f, link(f)), '']),
    ...(more > 0 ? [`And ${more} more: ${list}`, ''] : []),
    ...(ended.length > 0 ? [ENDED, ...ended.map((line) => `- ${line}`), ''] : []),
    ...[LOCAL_RULES, '', last, `How often mail comes to you: ${choice}`],
  ].join('\n')

  const body = html`<!doctype html><html lang="en" style="color-scheme:light dark"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><meta name="supported-color-schemes" content="light dark"><title>${subjectLine(sorted, when.urgent, allOld)}</title></head><body style="font-family:sans-serif;max-width:40em">
<p>${intro}</p>
${full.map((f) => html`${silence(f).map((words) => html`<p><strong>${words}</strong></p>`)}${findingHtml(f, link(f))}`)}
${more > 0 ? html`<p><a href="${list}">And ${more} more</a></p>` : ''}
${ended.length > 0 ? html`<h2 style="font-size:1.1em">${ENDED}</h2><ul>${ended.map((line) => html`<li>${line}</li>`)}</ul>` : ''}
<p>${LOCAL_RULES}</p>
<p><small>${last} <a href="${choice}">How often mail comes to you</a></small></p>
</body></html>`

  return {
    messageId: messageIdOf(recipient, findings, settings.mailDomain),
    to: recipient,
    subject: subjectLine(sorted, when.urgent, allOld),
    text,
    html: String(body),
    atMs: when.atMs,
  }
}
