import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { surveyFormPage } from '../../pages/surveys/form-page.ts'
import { type FormState, localMinute, withTest } from '../../pages/surveys/form-state.ts'
import { isTooEarly, nextStep } from '../../pages/surveys/next-step.ts'
import { testKind } from '../../pages/surveys/test-kinds.ts'
import { understandForm } from '../../pages/surveys/understand-form.ts'
import { fetchSite, keptRegister, type PhoneRegister } from '../phone/field-books.ts'
import { finishRecord, type Owner } from '../phone/field-record.ts'
import { sendWaiting } from '../phone/sender.ts'
import { putRecord } from '../phone/store.ts'
import { showAlarm } from './alarm-screen.ts'
import { type DraftKeeper, draftKeeper, type Kept } from './draft-keeper.ts'
import { showChoices } from './electrode-picker.ts'
import { type FieldBar, fieldBar } from './field-bar.ts'
import type { FieldForm } from './form-actions.ts'
import { keepCursor, readPage, showEcho, showPlaces, theForm } from './form-dom.ts'
import { goTo, listenToForm } from './form-events.ts'
import { showHandedIn } from './handed-in.ts'
import { type JudgedHere, judgeHere, judgeUnfinished } from './judge-here.ts'
import { showJudgement } from './live-panel.ts'
import { addNowButtons, showElsewhere, showUnfinished } from './notices.ts'
import { type Opening, zoneFor } from './opening.ts'

/** Longer than a button is held down. */
const TOUCH_MS = 200

/** A form on this page, from opening to handing in. */
export function fieldForm(owner: Owner, opening: Opening, first: PhoneRegister): FieldForm {
  const main = document.querySelector('main')!
  const phone = document.body.dataset.phone
  let register = first
  let state = opening.state
  let shown = state.test
  let bar: FieldBar
  let ownTime = opening.stored ? undefined : opening.state.values.testedAt
  let kept: Kept = opening.stored ? { kind: 'saved', atMs: opening.stored.savedAtMs } : { kind: 'nothing' }
  const keeper: DraftKeeper = draftKeeper(
    owner,
    () => state.values.surveyRef ?? '',
    opening.stored,
    (now) => {
      kept = now
      bar.showKept(now)
      if (now.kind === 'elsewhere') showElsewhere(main, true)
    },
  )
  const electrode = (): Electrode | null => register.find(state.values.electrodeId ?? '')
  const zone = () => zoneFor(electrode())

  function judgeNow(): void {
    const understood = understandForm(state, zone())
    const here = judgeUnfinished(understood, register)
    const early = isTooEarly(state, understood)
    showJudgement(here !== null && !early && worthShowing(here, state) ? here : null, phone)
    if (here && (!early || here.survey.linkChecked === 'still-open'))
      showAlarm(here.judged, { controlRoomPhone: phone, responsibleEmail: electrode()?.responsibleEmail })
    bar.showNext(nextStep({ state, understood, electrode: electrode(), judged: here?.judged ?? null }))
    showPlaces(state)
  }

  function dress(): void {
    bar?.remove()
    bar = fieldBar((step) => (step.fieldId === null ? void self.handIn() : goTo(step.fieldId)))
    bar.showKept(kept)
    for (const input of main.querySelectorAll<HTMLInputElement>('#survey-form input[type=text]')) {
      input.enterKeyHint = 'next'
      showEcho(input, state)
    }
    addNowButtons(main)
    if (document.activeElement?.id === 'electrodeId') showChoices(register, electrode())
    judgeNow()
  }

  const self: FieldForm = {
    get state() {
      return state
    },
    get register() {
      return register
    },
    typed() {
      const { surveyRef } = state.values
      state = readPage().state
      // The reference of a survey that is kept does not change under it.
      if (keeper.record()) state = { ...state, values: { ...state.values, surveyRef: surveyRef ?? '' } }
      keeper.typed(state, zone())
      judgeNow()
    },
    draw({ state: next = state, problems = [], notice, focus }) {
      state = next
      shown = next.test
      const cursor = keepCursor()
      main.innerHTML = String(
        surveyFormPage({
          state,
          problems,
          electrode: electrode(),
          timeZone: zone(),
          notice,
          controlRoomPhone: phone,
        }),
      )
      dress()
      if (problems.length > 0) main.querySelector<HTMLElement>('.mend')?.focus()
      else if (focus) goTo(focus)
      else cursor()
    },
    showKind(kind) {
      self.draw({ state: withTest({ ...readPage().state, test: kind }, shown), focus: 'test' })
      keeper.typed(state, zone())
    },
    pick(electrodeId, typed) {
      const { state: onPage } = readPage()
      const before = zone()
      const after = zoneFor(register.find(electrodeId))
      const { testedAt } = onPage.values
      // The time that was filled in by itself moves into the site's zone; a time somebody typed stays as typed.
      const moved = testedAt === ownTime && before !== after ? localMinute(Date.now(), after) : testedAt
      if (moved !== testedAt) ownTime = moved
      const values = { ...onPage.values, electrodeId, ...(moved === undefined ? {} : { testedAt: moved }) }
      state = { ...onPage, values }
      keeper.typed(state, zone())
      if (!typed) return self.draw({ focus: 'test' })
      // Leaving the field is the first half of a touch of something else: that comes to its end on the form as it stands.
      fillIn(state)
      setTimeout(() => theForm() && self.draw({ state: readPage().state }), TOUCH_MS)
    },
    async ask(electrodeId) {
      try {
        await fetchSite({ electrode: electrodeId }, owner.id)
        self.learn(await keptRegister(owner.id))
      } catch {
        // No network, or nobody knows it: it is handed in as it is and held.
      }
    },
    check() {
      const { problems } = understandForm(state, zone())
      if (problems.length > 0) self.draw({ problems })
      else document.getElementById('so-far')?.focus()
    },
    async handIn() {
      state = readPage().state
      const timeZone = zone()
      const { survey, problems } = understandForm(state, timeZone)
      if (problems.length > 0) return self.draw({ problems })
      keeper.typed(state, timeZone)
      const draft = (await keeper.flush()) ? keeper.record() : null
      if (!draft) return sendAsPage()
      const record = finishRecord(draft, survey, Date.now())
      await putRecord(record)
      history.replaceState(null, '', `/surveys/new?draft=${encodeURIComponent(record.ref)}`)
      bar.remove()
      showHandedIn(record, judgeHere(survey, register), phone)
      await sendWaiting(owner.id, 'hand')
    },
    async takeOver() {
      await keeper.takeOver()
      showElsewhere(main, false)
      const record = keeper.record()
      self.draw(record ? { state: record.form } : {})
    },
    learn(next) {
      register = next
      const naming = document.activeElement?.id === 'electrodeId'
      // Who is still naming it is offered what is known; leaving the field takes it.
      if (!naming && electrode() && !document.querySelector('#register-words'))
        self.draw({ state: readPage().state })
      else {
        if (naming) showChoices(register, electrode())
        judgeNow()
      }
    },
  }
  const onPage = readPage()
  if (opening.stored || opening.notice || onPage.state.values.electrodeId !== state.values.electrodeId)
    self.draw(opening.notice ? { notice: opening.notice } : {})
  else {
    fillIn(state)
    dress()
  }
  listenToForm(main, self)
  if (!opening.stored) void showUnfinished(main, owner, state.values.surveyRef ?? '')
  void keeper.hold().then((mine) => {
    // What was typed before this tab held the survey is written now.
    if (mine) void keeper.flush()
    else showElsewhere(main, true)
  })
  return self
}

/** Where this phone can keep nothing, the page itself is sent, as it would be without a script. */
function sendAsPage(): void {
  const button = document.querySelector<HTMLButtonElement>('#survey-form button[value=hand-in]')
  button?.form?.setAttribute('data-plain', '')
  button?.click()
}

/** Puts the few things that are filled in by itself into the page as it came. */
function fillIn(state: FormState): void {
  for (const key of ['surveyRef', 'electrodeId', 'testedAt', 'tester', 'instrumentId'] as const) {
    const input = document.getElementById(key)
    if (input instanceof HTMLInputElement) input.value = state.values[key] ?? ''
  }
}

/** Too few readings are no news, unless one of them has a trouble that can be mended at its stake. */
function worthShowing({ survey }: JudgedHere, state: FormState): boolean {
  const { rows } = testKind(state.test)
  const enough = rows === 'percent' || rows === 'distance' ? 3 : 1
  return survey.readings.length >= enough || survey.readings.some((r) => r.condition !== 'ok')
}
