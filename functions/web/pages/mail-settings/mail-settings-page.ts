import type { MailChoice } from '../../../../shared-lib/ledger/kept/telling.ts'
import { areaControl, radioControl, selectControl, textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'

export interface MailSettingsParts {
  /** Whose mail; null where the sign-in carries no address. */
  address: string | null
  choice: MailChoice
  justSaved: boolean
  /** May choose for other addresses. */
  forOthers: boolean
  problems: readonly FormProblem[]
}

const HOURS = Array.from({ length: 24 }, (_, hour) => ({
  value: String(hour),
  label: `${String(hour).padStart(2, '0')}:00 UTC`,
}))

/** How one address is told of findings. */
export function mailSettingsPage(parts: MailSettingsParts): Html {
  const { address, justSaved, forOthers, problems } = parts
  return html`${errorSummary(problems)}<h1>Mail settings</h1>
${justSaved ? html`<div class="said" role="status"><p><strong>Saved.</strong> It holds from the next mail on.</p></div>` : nothing}
${
  address === null
    ? html`<p class="empty">Your sign-in carries no mail address, so no mail comes to you. The register names whom each electrode’s findings go to.</p>`
    : chooser(parts, address)
}
${forOthers ? othersForm() : nothing}`
}

function chooser({ choice, problems }: MailSettingsParts, address: string): Html {
  return html`<p>These are for <strong>${address}</strong>. An urgent finding comes at once and alone, whatever is chosen here; one that nobody has answered does not wait for the daily mail either.</p>
<form class="entry" method="post" action="${paths.mailSettings}">
<input type="hidden" name="address" value="${address}">
${radioControl({
  id: 'rest',
  label: 'All other findings',
  value: choice.rest,
  choices: [
    { value: 'as-it-comes', label: 'As they come, those of a few minutes together' },
    { value: 'daily', label: 'Once a day, all in one mail' },
  ],
  problems,
})}
${selectControl({ id: 'digestHourUtc', label: 'Hour of the daily mail', value: String(choice.digestHourUtc), choices: HOURS, problems })}
${areaControl({
  id: 'atOnceSites',
  label: 'Sites that do not wait for the daily mail',
  hint: 'Site ids, one a line. Leave it empty if there are none.',
  value: choice.atOnceSites.join('\n'),
  problems,
})}
<p class="actions"><button type="submit" class="main">Save</button></p></form>`
}

function othersForm(): Html {
  return html`<h2>Somebody else’s mail</h2>
<form class="entry" method="get" action="${paths.mailSettings}">
${textControl({ id: 'address', label: 'Mail address', kind: 'email', width: 'long' })}
<p class="actions"><button type="submit">Show</button></p></form>`
}
