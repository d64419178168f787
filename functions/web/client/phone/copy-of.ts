import { SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../../../shared-lib/survey/write-csv.ts'
import { understandForm } from '../../pages/surveys/understand-form.ts'
import type { FieldRecord } from './field-record.ts'

/**
 * A file that stands in for the phone: the CSV that "Upload" takes, for everything that can be read as a survey; what is not
 * finished goes as text exactly as typed, so that nothing depends on this browser's memory.
 */
export function copyOf(record: FieldRecord): { name: string; type: string; text: string } {
  const survey = record.survey ?? readable(record)
  if (survey)
    return {
      name: `${record.ref}.csv`,
      type: 'text/csv',
      text: `\ufeff${surveyCsvHeader()}${surveyCsvRows(survey)}`,
    }
  const { values, rows } = record.form
  const typed = (Object.entries(values) as [SurveyKey, string][]).filter(([, text]) => text.trim() !== '')
  const lines = [
    ...typed.map(([key, text]) => `${SURVEY_FIELDS[key].label}: ${text}`),
    ...rows.map((row, i) => `Reading ${i + 1}: ${row.distance} ${row.ohm} ${row.condition}`.trim()),
  ]
  return { name: `${record.ref}-not-finished.txt`, type: 'text/plain', text: `${lines.join('\r\n')}\r\n` }
}

function readable(record: FieldRecord) {
  const { survey, problems } = understandForm(record.form, record.timeZone)
  return problems.length === 0 ? survey : null
}
