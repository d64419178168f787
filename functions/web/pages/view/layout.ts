import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { seesBeyondSites } from '../../access.ts'
import type { Asset } from '../../assets.ts'
import { ICON_PATH, MANIFEST_PATH } from '../install-assets.ts'
import { FIELD_SHEET, OFFICE_SHEET } from '../styles/stylesheet.ts'
import { attribute, type Html, html, nothing, raw } from './html.ts'
import { paths } from './paths.ts'

/** What every page knows about where it is shown. */
export interface Frame {
  person: Person | null
  operatorName: string
  controlRoomPhone?: string
  /** Mail is kept where it can be looked at (one machine only). */
  hasOutbox: boolean
  nowMs: number
  /** Absent where nothing was built for the browser. */
  assets?: readonly Asset[]
}

export interface PageParts {
  title: string
  /** Something in the form needs mending: said first in the title, because nothing can move the focus. */
  wrong?: boolean
  /** Path of the menu entry this page belongs to. */
  section?: string
  body: Html
  /** Seconds after which the page loads itself again, while work is going on. */
  refreshS?: number
  /**
   * A form somebody types into: going back must find it as it was left, with the reference it was issued with, so the browser may
   * keep it. Everything else is fetched anew.
   */
  typedInto?: boolean
  /** `field` gives large controls and room around them; `office` is dense. */
  density?: 'field' | 'office'
  /** Entries of `functions/web/client` that improve this page; it is complete without them. */
  scripts?: readonly string[]
}

const ROLE_WORDS = {
  field: 'field crew',
  quality: 'quality team',
  engineer: 'responsible engineer',
  admin: 'administrator',
}

/** A whole page: skip link, header with the menu of the person's role, main, footer. Complete without any script. */
export function page(frame: Frame, parts: PageParts, scripts: readonly string[] = []): Html {
  const title = `${parts.wrong ? 'Something to mend: ' : ''}${parts.title} – stakeline`
  return html`<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="same-origin">
${parts.refreshS === undefined ? nothing : refresh(parts.refreshS, scripts.length > 0)}
<title>${title}</title>
<link rel="stylesheet" href="${(parts.density === 'field' ? FIELD_SHEET : OFFICE_SHEET).href}">
${frame.assets === undefined ? html`<link rel="icon" href="data:,">` : html`<link rel="icon" href="${ICON_PATH}" type="image/svg+xml"><link rel="manifest" href="${MANIFEST_PATH}"><meta name="theme-color" content="#0a5160">`}
${scripts.map((src) => html`<script type="module" src="${src}"></script>`)}
</head>
<body class="${parts.density ?? 'office'}"${scripts.length === 0 ? nothing : whoIsHere(frame)}>
<a class="skip" href="#main">Skip to the content</a>
<header class="top">
<div class="inner">
<a class="brand" href="/">stakeline</a>
<span class="operator">${frame.operatorName}</span>
${frame.person === null ? nothing : menu(frame, frame.person, parts.section)}
</div>
</header>
<main id="main" tabindex="-1">
${parts.body}
</main>
<footer class="bottom"><div class="inner">
${frame.person === null ? nothing : signedIn(frame.person)}
<p>The operator’s rules and local law come first. A low resistance is no proof of safe step and touch voltages.</p>
</div></footer>
</body>
</html>`
}

/** A page with a script looks after itself: only a browser without one loads it again. */
function refresh(everyS: number, hasScript: boolean): Html {
  const meta = html`<meta http-equiv="refresh" content="${everyS}">`
  return hasScript ? html`<noscript>${meta}</noscript>` : meta
}

/** What the scripts need to know of the frame. */
function whoIsHere({ person, controlRoomPhone }: Frame): Html {
  return html`${attribute('data-person', person?.id)}${attribute('data-person-name', person?.name)}${attribute('data-phone', controlRoomPhone)}`
}

function menu(frame: Frame, person: Person, section: string | undefined): Html {
  const entries: [string, string][] = [
    [paths.home, 'Home'],
    [paths.newSurvey(), 'Hand in'],
    [paths.electrodes, 'Electrodes'],
    [paths.sites, 'Sites'],
    [paths.due, 'Due'],
    [paths.findings, 'Findings'],
    [paths.uploads, 'Uploads'],
    [paths.instruments, 'Instruments'],
  ]
  if (frame.assets !== undefined) entries.splice(2, 0, [paths.onThisPhone, 'On this phone'])
  if (seesBeyondSites(person)) entries.push([paths.held, 'Held'])
  if (frame.hasOutbox && person.role !== 'field') entries.push([paths.outbox, 'Outbox'])
  return html`<nav aria-label="Main"><ul>${entries.map(
    ([href, label]) =>
      html`<li><a href="${href}"${href === section ? raw(' aria-current="page"') : nothing}>${label}</a></li>`,
  )}</ul></nav>`
}

function signedIn(person: Person): Html {
  const sites = person.sites === '*' ? 'all sites' : person.sites.join(', ') || 'no site'
  return html`<form class="who" method="post" action="/sign-out"><p>Signed in as <strong>${person.name}</strong>, ${ROLE_WORDS[person.role]}, ${sites}.${person.email || person.role === 'admin' ? html` <a href="${paths.mailSettings}">Mail settings</a>` : nothing}</p>
<button type="submit" class="quiet">Sign out</button></form>`
}
