import { instant } from '../view/format.ts'
import { type Html, html } from '../view/html.ts'
import { paths } from '../view/paths.ts'

export interface CalendarPageParts {
  /** Just made; shown this once. */
  link: string | null
  /** When a link was made before, or just now. */
  madeAt: string | undefined
}

/** The link a calendar program is given: made at a press, shown once, made worthless by the next one. */
export function calendarPage({ link, madeAt }: CalendarPageParts): Html {
  return html`<p class="crumbs"><a href="${paths.due}">Due</a></p>
<h1>Due dates in a calendar</h1>
<p>A calendar program fetches a link of your own and shows what is due at your sites. The link needs no sign-in: it shows due dates and electrode ids, nothing else. Give it to nobody; a new link makes the old one worthless, and one whose owner has not signed in for 90 days ends.</p>
${
  link === null
    ? html`<p>${madeAt === undefined ? 'No link was made for you yet.' : `Your link was made ${instant(madeAt)}. It cannot be shown again; make a new one if you lost it.`}</p>`
    : html`<div class="said" role="status"><p><strong>Your link, shown this once.</strong> Copy it into “subscribe by address” of your calendar:</p><p><code class="copy">${link}</code></p></div>`
}
<form method="post" action="${paths.calendar}"><p class="actions"><button type="submit" class="main">${madeAt === undefined ? 'Make a link' : 'Make a new link'}</button></p></form>
<p class="aside">How often a calendar looks again is its own affair; many look once a day. Each electrode has one entry, which moves when a test is handed in.</p>`
}
