import type { KeptSurvey } from '../../../../shared-lib/ledger/hand-in.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { valueWords } from '../view/field-words.ts'
import { instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { readingsLine } from './readings-line.ts'

export interface ConflictParts {
  stored: KeptSurvey
  sent: Survey
  /** Reference that the form below now carries. */
  fresh: string
  form: Html
  /** False where the stored survey belongs to somebody else: then only that it is there is told. */
  mayRead: boolean
}

/** Same reference, other content: both are shown, the stored one stays, and one press hands the new one in as a correction. */
export function conflictPage({ stored, sent, fresh, form, mayRead }: ConflictParts): Html {
  const ref = stored.survey.surveyRef
  return html`<section class="mend" aria-labelledby="conflict"><div role="alert"><h2 id="conflict">Survey ${ref} is already there with other content</h2>
<p>It was received ${instant(stored.receivedAt)} and stays as it is. What you sent is not stored yet.</p></div>
${mayRead ? storedBeside(stored, sent) : nothing}
<p><strong>To correct the stored survey</strong>, press “Hand in” at the end of the form below: it now has the reference ${fresh} and names ${ref} as the survey it corrects. If it is another survey altogether, empty “Corrects survey” first.</p></section>
${form}`
}

function storedBeside(stored: KeptSurvey, sent: Survey): Html {
  return html`<p><a href="${paths.subjectSurvey(stored.subject, stored.survey.surveyRef)}">See the stored survey</a></p>
<div class="scroll" role="region" aria-label="Differences" tabindex="0"><table><caption>What differs</caption><thead><tr><th scope="col">Field</th><th scope="col">Stored</th><th scope="col">Sent now</th></tr></thead>
<tbody>${differences(stored.survey, sent).map((d) => html`<tr><th scope="row">${d.label}</th><td>${d.stored}</td><td>${d.sent}</td></tr>`)}</tbody></table></div>`
}

/** Fields that are not the same, in words. */
function differences(stored: Survey, sent: Survey): { label: string; stored: string; sent: string }[] {
  const words = (field: Field, value: unknown) =>
    value === undefined ? 'not given' : valueWords(field, value as string | number)
  const rows = (Object.entries(SURVEY_FIELDS) as [SurveyKey, Field][])
    .filter(([key]) => stored[key] !== sent[key])
    .map(([key, field]) => ({
      label: field.label,
      stored: words(field, stored[key]),
      sent: words(field, sent[key]),
    }))
  if (readingsLine(stored) !== readingsLine(sent))
    rows.push({ label: 'Readings', stored: readingsLine(stored), sent: readingsLine(sent) })
  return rows
}
