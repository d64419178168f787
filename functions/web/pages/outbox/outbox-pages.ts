import { age, instant } from '../view/format.ts'
import { type Html, html } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import type { ReadMail } from './read-mail.ts'

export interface OutboxEntry {
  id: string
  to: string
  subject: string
  sentAtMs: number
}

/** Mail that left, newest first. On one machine it is kept in a folder and goes nowhere. */
export function outboxList(entries: readonly OutboxEntry[], nowMs: number, more: boolean): Html {
  return html`<h1>Outbox</h1>
<p>Mail is not sent from this machine: every message is kept here and as an <code>.eml</code> file in the data folder.</p>
${
  entries.length === 0
    ? html`<p class="empty">No mail yet. A finding leads to a mail once its short hold is over.</p>`
    : html`<div class="scroll" role="region" aria-label="Mails" tabindex="0"><table><caption class="unseen">Mails, newest first</caption>
<thead><tr><th scope="col">Subject</th><th scope="col">To</th><th scope="col">When</th></tr></thead>
<tbody>${entries.map((m) => html`<tr><th scope="row" class="wide"><a href="${paths.mail(m.id)}">${m.subject}</a></th><td>${m.to}</td><td class="nowrap">${age(new Date(m.sentAtMs).toISOString(), nowMs)}</td></tr>`)}</tbody></table></div>`
}
${more ? html`<p class="aside">Older mails are in the data folder.</p>` : ''}`
}

/** One mail as its plain text, with addresses of this service made into links. */
export function mailPage(mail: ReadMail, baseUrl: string): Html {
  return html`<p class="crumbs"><a href="${paths.outbox}">Outbox</a></p>
<h1>${mail.subject}</h1>
<dl class="facts"><dt>From</dt><dd>${mail.from}</dd><dt>To</dt><dd>${mail.to}</dd><dt>Date</dt><dd>${mail.date === null ? 'not given' : instant(mail.date)}</dd></dl>
<section class="sheet"><pre class="letter">${linked(mail.text, baseUrl)}</pre></section>`
}

/** Only addresses under our own become links, so that a mail can lead nowhere else. */
function linked(text: string, baseUrl: string): (Html | string)[] {
  const pieces = text.split(/(https?:\/\/[^\s<>"]+)/)
  return pieces.map((piece) => {
    const trailing = /[.,;)]*$/.exec(piece)?.[0] ?? ''
    const address = piece.slice(0, piece.length - trailing.length)
    return address === baseUrl || address.startsWith(`${baseUrl}/`)
      ? html`<a href="${address.slice(baseUrl.length) || '/'}">${address}</a>${trailing}`
      : piece
  })
}
