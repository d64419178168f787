import { alarm, judgement, probeAdvice } from '../../pages/surveys/judgement.ts'
import { readingsTable } from '../../pages/surveys/survey-fields.ts'
import { type Html, html, nothing } from '../../pages/view/html.ts'
import type { FieldRecord } from '../phone/field-record.ts'
import { saidWords, stateBadge, subjectWords } from '../phone/record-words.ts'
import { getRecord, onRecordsChanged } from '../phone/store.ts'
import type { JudgedHere } from './judge-here.ts'

/** What a crew sees after handing in: first where the survey is, then what it is worth. The state follows by itself. */
export function showHandedIn(record: FieldRecord, here: JudgedHere, controlRoomPhone?: string): void {
  const main = document.querySelector('main')!
  main.innerHTML = String(page(record, here, controlRoomPhone))
  main.querySelector<HTMLElement>('h1')!.focus()
  scrollTo(0, 0)
  const { ref } = record
  onRecordsChanged(async () => {
    const place = document.getElementById('where-it-is')
    const now = await getRecord(ref)
    if (place && now) place.innerHTML = String(whereItIs(now))
  })
}

function page(record: FieldRecord, here: JudgedHere, controlRoomPhone?: string): Html {
  const { survey, judged, known } = here
  const electrodeId = survey.electrodeId ?? null
  const again =
    electrodeId === null ? '/surveys/new' : `/surveys/new?electrode=${encodeURIComponent(electrodeId)}`
  return html`${alarm({ findings: judged.findings, controlRoomPhone, responsibleEmail: undefined })}
<h1 tabindex="-1">Survey of ${subjectWords(record)}</h1>
<div id="where-it-is" role="status">${whereItIs(record)}</div>
${closing(survey.linkChecked)}
${known ? nothing : html`<p>Judged without the register’s words: this phone does not know the electrode, so size and limit are not looked at.</p>`}
${judgement({ judged, findings: judged.findings, electrodeId, controlRoomPhone })}
${probeAdvice(judged, survey.currentProbeM)}
${survey.readings.length === 0 ? nothing : html`<h2>Readings</h2>${readingsTable(survey)}`}
<p class="actions"><a class="button main" href="/surveys/new">Next survey</a><a class="button" href="${again}">Another of this one</a><a class="button" href="/on-this-phone">On this phone</a></p>`
}

function whereItIs(record: FieldRecord): Html {
  const address = record.receipt?.address
  return html`<div class="sheet"><p>${stateBadge(record)}</p>${saidWords(record)}${
    record.state === 'received' && address
      ? html`<p><a href="${address}">See it with its history</a></p>`
      : record.state === 'received'
        ? nothing
        : html`<p>It stays on this phone until the service has it, also when this page is closed.</p>`
  }</div>`
}

/** The closing screen: the earth is back, or it is said that it is not. */
function closing(left: string | undefined): Html {
  if (left === 'tight' || left === 'tight-and-measured')
    return html`<p class="said">The link is recorded as closed. Every stake and lead back on the vehicle?</p>`
  return nothing
}
