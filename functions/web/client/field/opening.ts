import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { type FormState, localMinute } from '../../pages/surveys/form-state.ts'
import type { PhoneRegister } from '../phone/field-books.ts'
import { type FieldRecord, newRef, type Owner } from '../phone/field-record.ts'
import { allRecords, getRecord } from '../phone/store.ts'
import { readPage } from './form-dom.ts'

/** Which survey this page is about. */
export interface Opening {
  state: FormState
  /** From this phone, when the address names a survey that was begun here. */
  stored: FieldRecord | null
  notice?: string
}

/**
 * The survey the address asks for: one begun on this phone (`?draft=`), or a new one with a reference of its own, for the electrode
 * named in the address or on a label's code. The page may be the kept empty one, so nothing on it is taken for granted.
 */
export async function openWhich(owner: Owner, register: PhoneRegister): Promise<Opening> {
  const { pathname, searchParams } = new URL(location.href)
  const draft = searchParams.get('draft')
  if (draft) {
    const stored = await getRecord(draft)
    if (stored && stored.personId === owner.id) return { state: stored.form, stored }
    const notice = stored
      ? `This survey was begun by ${stored.personName}: sign in as that person to go on. Here is a new one.`
      : 'This survey is not on this phone any more. Here is a new one.'
    history.replaceState(null, '', '/surveys/new')
    return { ...(await fresh(owner, register, null)), notice }
  }
  const labelled = /^\/e\/(.+)$/.exec(pathname)?.[1]
  const wanted = labelled === undefined ? searchParams.get('electrode') : decodeURIComponent(labelled)
  const opening = await fresh(owner, register, wanted)
  return searchParams.has('corrects') && !opening.state.values.corrects
    ? { ...opening, notice: 'The survey to correct cannot be fetched without a network. Try again later.' }
    : opening
}

async function fresh(owner: Owner, register: PhoneRegister, wanted: string | null): Promise<Opening> {
  const last = (await allRecords().catch(() => []))
    .filter((r) => r.personId === owner.id)
    .sort((a, b) => b.startedAtMs - a.startedAtMs)[0]?.form.values
  // Read last: the page is typed into while this phone looks things up.
  const { state } = readPage()
  const { values } = state
  const typed = values.electrodeId?.trim() || wanted || ''
  const known = register.find(typed)
  return {
    stored: null,
    state: {
      ...state,
      values: {
        ...values,
        surveyRef: newRef(),
        electrodeId: known?.electrodeId ?? typed,
        testedAt: values.testedAt || localMinute(Date.now(), zoneFor(known)),
        tester: values.tester || last?.tester || owner.name,
        instrumentId: values.instrumentId || last?.instrumentId || '',
      },
    },
  }
}

/** The site's zone as the register says; on a phone that does not know the electrode, the zone the phone stands in. */
export function zoneFor(electrode: Electrode | null): string {
  return electrode ? (electrode.timeZone ?? 'UTC') : Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC'
}
