import { understandForm } from '../../pages/surveys/understand-form.ts'
import type { PhoneRegister } from '../phone/field-books.ts'
import type { FieldRecord } from '../phone/field-record.ts'
import { showHandedIn } from './handed-in.ts'
import { judgeHere } from './judge-here.ts'

/** A survey of this phone that was handed in before: going back to it shows where it is, never an editable copy. */
export async function showStored(record: FieldRecord, register: PhoneRegister): Promise<void> {
  const survey = record.survey ?? understandForm(record.form, record.timeZone).survey
  showHandedIn(record, judgeHere(survey, register), document.body.dataset.phone)
}
