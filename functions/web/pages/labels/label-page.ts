import { renderSVG } from 'uqr'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { type Html, html, nothing, raw } from '../view/html.ts'
import { paths } from '../view/paths.ts'

export interface LabelPageParts {
  siteId: string
  electrodes: readonly Electrode[]
  /** The address that phones reach the service by, without a trailing slash. */
  baseUrl: string
  complete: boolean
}

/** A sheet of labels, three across on A4: the code opens the form for the electrode, and everything it says stands beside it in words. */
export function labelPage({ siteId, electrodes, baseUrl, complete }: LabelPageParts): Html {
  return html`<div class="screen"><p class="crumbs"><a href="${paths.site(siteId)}">Site ${siteId}</a></p>
<h1>Labels for site ${siteId}</h1>
<p>Print this page on A4 label sheets, 3 across (63.5 × 38.1 mm), at 100 %. The phone’s own camera opens the code as a link to the form for that electrode.</p>
${complete ? nothing : html`<p class="caution">There are more electrodes at this site than fit on this page; the rest is left out.</p>`}
${electrodes.length === 0 ? html`<p class="empty">No electrode of this site is in the register.</p>` : nothing}</div>
<ul class="labels">${electrodes.map((e) => label(e, baseUrl))}</ul>`
}

function label(electrode: Electrode, baseUrl: string): Html {
  const { electrodeId, tag, locationText, siteId } = electrode
  return html`<li class="label"><span class="code" aria-hidden="true">${raw(codeFor(`${baseUrl}${paths.lid(electrodeId)}`))}</span><span class="told"><strong>${electrodeId}</strong>${tag ? html`<span>Tag ${tag}</span>` : nothing}<span>Site ${siteId}</span>${locationText ? html`<span>${locationText}</span>` : nothing}</span></li>`
}

/** Medium correction: a scratch or a splash of mud costs up to 15 % of the code and it still reads. The markup holds no text. */
function codeFor(address: string): string {
  return renderSVG(address, { ecc: 'M', border: 2 })
}
