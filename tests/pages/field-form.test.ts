import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { DESKTOP } from './browser.ts'
import { shortSurvey } from './demo.ts'
import {
  broken,
  type FieldVisit,
  finish,
  handIn,
  openField,
  openForm,
  ready,
  SMALL_PHONE,
  typeReadings,
} from './field-visit.ts'

let there: FieldVisit
beforeAll(async () => {
  there = await openField()
}, 60_000)
afterAll(() => there.close())
afterEach(async () => {
  there.network('good')
  for (const context of there.browser.contexts()) await context.close()
})

const where = (page: Page) => page.locator('#where-it-is .state')
const next = (page: Page) => page.locator('.field-bar .next')
const refOf = (page: Page) => new URL(page.url()).searchParams.get('draft') ?? ''
const stored = (ref: string, electrodeId = 'DEMO-R1') =>
  there.house.deps.ledger.getSurvey({ kind: 'electrode', id: electrodeId }, ref)

describe('a new tester with a phone', () => {
  it('hands in a valid survey in at most 12 taps besides numbers and safety steps, told at each step what is next', async () => {
    let taps = 0
    const page = await there.open('field', { viewport: SMALL_PHONE, hasTouch: true })
    const tap = async (what: ReturnType<Page['locator']>) => {
      taps++
      await what.tap()
    }
    const go = page.locator('.field-bar button')
    await page.goto('/')
    await tap(page.getByRole('link', { name: 'Hand in a survey' }))
    await ready(page)
    expect(await next(page).textContent()).toContain('Which electrode?')
    await tap(go)
    // Nobody types before the cursor stands in the field.
    await page.locator('input:focus').waitFor()
    await page.keyboard.type('100')
    await tap(page.getByRole('button', { name: /DEMO-R1/ }))
    expect(await next(page).textContent()).toContain('usually stands 30 m away')
    await tap(go)
    await page.keyboard.type('30')
    for (const [place, ohm] of [
      ['15.6', '10,9'],
      ['18.6', '11'],
      ['21.6', '11,2'],
    ]) {
      expect(await next(page).textContent()).toContain(`Potential probe to ${place} m`)
      await tap(go)
      await page.keyboard.type(ohm!)
    }
    expect(await next(page).textContent()).toMatch(/It stands: 11.* Ω\. What was connected/)
    await tap(go)
    taps += 1
    await page.getByLabel('What was connected while measuring').selectOption('electrode-alone')
    expect(await next(page).textContent()).toContain('How was the earth link left?')
    // A safety step: not counted.
    await page.getByLabel('Never opened').check()
    await tap(go)
    await where(page).getByText('RECEIVED').waitFor()
    expect(taps).toBeLessThanOrEqual(12)
    const record = await stored(refOf(page))
    expect(record?.judged.validity).toBe('valid')
    expect(record?.receivedFrom.via).toBe('form')
    // What the phone said is what the service says.
    const here = await page.locator('.result .big').first().textContent()
    await page.getByRole('link', { name: 'See it with its history' }).click()
    expect(await page.locator('.result .big').first().textContent()).toBe(here)
  })
})

describe('while typing', () => {
  it('echoes a decimal comma and feet, and moves the stakes with the current probe', async () => {
    const page = await openForm(there)
    await page.locator('#r0-ohm').fill('1,02')
    expect(await page.locator('output[for=r0-ohm]').textContent()).toBe('= 1.02 Ω')
    await page.getByRole('button', { name: 'Read them in feet' }).click()
    await page.getByLabel('Distance of the current probe (ft)').fill('100')
    expect(await page.locator('output[for=currentProbeM]').textContent()).toBe('= 30.48 m')
    expect(await page.locator('#r1-place').textContent()).toBe('62 %: potential probe at 62 ft')
    expect(await page.locator('#r0-ohm').inputValue()).toBe('1,02')
    await page.getByLabel('Kind of test').selectOption('full')
    expect(await page.locator('#r5-place').textContent()).toContain('60 %: potential probe at 60 ft')
  })

  it('says which stake is wrong and what mends it, before anything is handed in', async () => {
    const page = await openForm(there)
    await page.getByLabel('Distance of the current probe').fill('30')
    await page.locator('#r0-condition').selectOption('auxiliary-h')
    await page.locator('#so-far').getByText('An auxiliary stake is too resistive').waitFor()
    expect(await next(page).textContent()).toBe('Check lead and clamp of that stake.')
  })

  it('leads to the first thing to mend when it is handed in too early', async () => {
    const page = await openForm(there, '/surveys/new')
    await page.getByRole('button', { name: 'Hand in', exact: true }).click()
    await page.getByRole('heading', { name: /things? to mend/ }).waitFor()
    expect(await page.evaluate('document.activeElement.className')).toBe('mend')
    expect(there.sent.some((s) => s.surveyRef === refOf(page))).toBe(false)
  })
})

describe('a key', () => {
  /** Answers of these addresses wait until they are let go. */
  const holdBack = async (page: Page, address: RegExp) => {
    let letGo = () => {}
    const opened = new Promise<void>((resolve) => {
      letGo = resolve
    })
    let asked = () => {}
    const wasAsked = new Promise<void>((resolve) => {
      asked = resolve
    })
    await page.route(address, async (route) => {
      asked()
      await opened
      await route.continue()
    })
    return { letGo, wasAsked }
  }

  it('goes where the one before it went while the register arrives and the form is drawn anew', async () => {
    const page = await there.open('field', { viewport: SMALL_PHONE })
    const books = await holdBack(page, /field-books/)
    await page.goto('/surveys/new')
    await ready(page)
    await page.locator('#electrodeId').focus()
    await page.keyboard.type('DEMO-R1')
    await page.locator('#currentProbeM').focus()
    await page.keyboard.type('37')
    await page.keyboard.press('ArrowLeft')
    await books.wasAsked
    books.letGo()
    await page.locator('#register-words').waitFor()
    await page.keyboard.type('.')
    expect(await page.locator('#currentProbeM').inputValue()).toBe('3.7')
    expect(await page.locator('#electrodeId').inputValue()).toBe('DEMO-R1')
  })

  it('goes to the field that was touched right after the electrode was typed', async () => {
    const page = await openForm(there, '/surveys/new')
    await page.locator('#electrodeId').pressSequentially('100')
    await page.getByRole('button', { name: /DEMO-R1/ }).waitFor()
    await page.locator('#currentProbeM').click()
    await page.keyboard.type('3')
    await page.locator('#register-words').waitFor()
    await page.keyboard.type('0')
    expect(await page.locator('#currentProbeM').inputValue()).toBe('30')
    expect(await page.locator('#electrodeId').inputValue()).toBe('DEMO-R1')
  })

  it('typed before the script has come is kept', async () => {
    const page = await there.open('field', { viewport: SMALL_PHONE })
    const script = await holdBack(page, /\/assets\/field-/)
    await page.goto('/surveys/new?electrode=DEMO-R1', { waitUntil: 'commit' })
    await page.locator('#tester').fill('A. C')
    await page.locator('#currentProbeM').focus()
    await page.keyboard.type('3')
    await script.wasAsked
    script.letGo()
    await ready(page)
    await page.keyboard.type('0')
    expect(await page.locator('#currentProbeM').inputValue()).toBe('30')
    expect(await page.locator('#tester').inputValue()).toBe('A. C')
  })
})

describe('what was typed', () => {
  it('is there again after the tab was closed in the middle', async () => {
    const page = await openForm(there)
    await typeReadings(page, ['10.9', '11'])
    await page.getByText('Saved on this phone').waitFor()
    const context = page.context()
    await page.close()
    const again = await context.newPage()
    await again.goto('/')
    await again.getByRole('link', { name: '1 not sent' }).click()
    await again.getByRole('link', { name: 'Go on' }).click()
    await ready(again)
    expect(await again.locator('#r1-ohm').inputValue()).toBe('11')
    expect(await next(again).textContent()).toContain('21.6 m')
    // A new form tells of it, so nobody begins the same survey twice.
    await again.goto('/surveys/new')
    await again.getByText('Begun on this phone and not finished').waitFor()
  })

  it('is not to be cleared away: with the first survey the browser is asked to keep this phone’s store for good', async () => {
    const page = await there.open('field', { viewport: SMALL_PHONE })
    await page.addInitScript(() => {
      const scope = globalThis as unknown as {
        asked: number
        StorageManager: { prototype: { persist: unknown; persisted: unknown } }
      }
      scope.asked = 0
      scope.StorageManager.prototype.persisted = async () => false
      scope.StorageManager.prototype.persist = async () => {
        scope.asked++
        return true
      }
    })
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    expect(await page.evaluate('asked')).toBe(0)
    await typeReadings(page, ['10.9'])
    await page.getByText('Saved on this phone').waitFor()
    await expect.poll(() => page.evaluate('asked')).toBe(1)
  })

  it('is typed into in one of two tabs; the other one says so and can take over', async () => {
    const page = await openForm(there)
    await typeReadings(page, ['10.9'])
    await page.getByText('Saved on this phone').waitFor()
    const other = await page.context().newPage()
    await other.goto(page.url())
    await other.getByText('open in another tab').first().waitFor()
    await page.locator('#r1-ohm').fill('11')
    await page.waitForTimeout(400)
    await other.getByRole('button', { name: 'Go on here' }).click()
    await page.getByText('Only one of them saves').waitFor()
    await ready(other)
    expect(await other.locator('#r1-ohm').inputValue()).toBe('11')
    await other.locator('#r2-ohm').fill('11.2')
    await other.waitForTimeout(400)
    await other.reload()
    await ready(other)
    expect(await other.locator('#r2-ohm').inputValue()).toBe('11.2')
  })

  it('is said to be unsaved when the phone is full, and can be handed in all the same', async () => {
    const page = await there.open('field', { viewport: SMALL_PHONE })
    await page.addInitScript(() => {
      const { IDBObjectStore, DOMException } = globalThis as unknown as {
        IDBObjectStore: { prototype: { put: unknown } }
        DOMException: new (words: string, name: string) => Error
      }
      IDBObjectStore.prototype.put = () => {
        throw new DOMException('no room', 'QuotaExceededError')
      }
    })
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    await typeReadings(page)
    await page.getByText('NOT SAVED').waitFor()
    await finish(page)
    await page.getByRole('button', { name: 'Hand in', exact: true }).last().click()
    await page.getByText('Received.').waitFor()
    expect(page.url()).toContain('received=new')
  })
})

describe('a survey the service refuses', () => {
  it('stays with the service’s sentence beside it, and an edit is a new survey that names it', async () => {
    const page = await openForm(there)
    await typeReadings(page)
    await finish(page)
    await page.getByText('Saved on this phone').waitFor()
    const ref = refOf(page)
    await there.house.deps.desk.handIn(shortSurvey(ref, 'DEMO-R1', '2026-05-03T09:00:00Z', 12), {
      via: 'api',
      by: 'x',
    })
    await handIn(page)
    await where(page).getByText('ON THIS PHONE, refused').waitFor()
    await page.goto('/on-this-phone')
    await page.getByText(`Survey ${ref} tested at`).waitFor()
    await page.getByRole('button', { name: 'Edit' }).click()
    await ready(page)
    expect(await page.getByRole('heading', { name: `Correct survey ${ref}` }).isVisible()).toBe(true)
    await handIn(page)
    await where(page).getByText('RECEIVED').waitFor()
    expect((await stored(refOf(page)))?.survey.corrects).toBe(ref)
    // The refused one is still there to be looked at, saved or deleted.
    await page.goto('/on-this-phone')
    await page.getByText('ON THIS PHONE, refused').waitFor()
  })
})

describe('an electrode nobody knows', () => {
  it('is judged without the register’s words, handed in, and held until it is matched', async () => {
    const page = await openForm(there, '/surveys/new')
    await page.getByLabel('Electrode, by its id or tag').fill('DEMO-R77')
    await page.getByText('Not in the register on this phone').waitFor()
    await typeReadings(page)
    await page.locator('#so-far').getByText('Judged without the register’s words').waitFor()
    await finish(page)
    await handIn(page)
    await page.getByText('held there until it is matched').waitFor()
    const held = await there.house.deps.ledger.heldFor('DEMO-R77')
    expect(held.map((h) => h.survey.surveyRef)).toEqual([refOf(page)])
  })
})

describe('an earth that is open', () => {
  it('fills the screen with what to do and whom to phone as soon as it is said, and never holds the survey up', async () => {
    const page = await openForm(there)
    await page.getByLabel('Still open').check()
    const dialog = page.getByRole('dialog', { name: 'Urgent' })
    await dialog.waitFor()
    const box = await dialog.boundingBox()
    expect([box?.width, box?.height]).toEqual([SMALL_PHONE.width, SMALL_PHONE.height])
    expect(await dialog.getByRole('link', { name: '+00 555 0100' }).getAttribute('href')).toBe(
      'tel:+005550100',
    )
    expect(await dialog.getByRole('link', { name: 'engineer@example.org' }).isVisible()).toBe(true)
    await dialog.getByRole('button', { name: 'I have read this' }).click()
    await typeReadings(page)
    await page.getByLabel('What was connected while measuring').selectOption('electrode-alone')
    await handIn(page)
    await where(page).getByText('RECEIVED').waitFor()
    expect(await page.locator('.alarm').first().getByText('left open').isVisible()).toBe(true)
  })

  it('stays on the screen until it is read, though the form is drawn anew behind it', async () => {
    const page = await there.open('field', { viewport: SMALL_PHONE })
    await page.goto('/surveys/new')
    await ready(page)
    await page.locator('#electrodeId').focus()
    await page.keyboard.type('DEMO-R1')
    await page.getByLabel('Still open').check()
    const dialog = page.getByRole('dialog', { name: 'Urgent' })
    await dialog.waitFor()
    await page.locator('#register-words').waitFor({ state: 'attached' })
    await dialog.getByRole('button', { name: 'I have read this' }).click()
    expect(await page.locator('#linkChecked').count()).toBe(1)
  })

  it('that may be broken is told once the whole line is over range, not at the first stake', async () => {
    const page = await openForm(there)
    await typeReadings(page, ['OL', 'OL'])
    await page.getByText('Over range: look at the leads').first().waitFor()
    expect(await page.getByRole('dialog').count()).toBe(0)
    await page.locator('#r2-ohm').fill('OL')
    await page.getByRole('dialog', { name: 'Urgent' }).getByText('The earth may be broken').waitFor()
  })

  it('asks for both ticks and both times once the link was opened, each stamped with one touch', async () => {
    const page = await openForm(there)
    await typeReadings(page)
    await page.getByLabel('What was connected while measuring').selectOption('electrode-alone')
    await page.getByRole('button', { name: 'Opened now' }).click()
    expect(await page.locator('#linkOpenedAt').inputValue()).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d$/)
    expect(await next(page).textContent()).toContain('Tick the box before the opening time')
    await page.locator('#before').check()
    await page.getByRole('radio', { name: 'Closed and tight', exact: true }).check()
    await page.getByRole('button', { name: 'Closed now' }).click()
    expect(await page.getByLabel('Earth put back by').inputValue()).toBe('Demo field')
    await page.locator('#after').check()
    await handIn(page)
    await where(page).getByText('RECEIVED').waitFor()
    const survey = (await stored(refOf(page)))?.survey
    expect(survey).toMatchObject({ linkChecked: 'tight', restoredBy: 'Demo field' })
    expect(survey?.linkOpenedAt).toBeDefined()
  })
})

describe.each([SMALL_PHONE, DESKTOP])('without a script, on a screen %o', (viewport) => {
  it('the same form takes a survey in feet with the link opened and closed, mended on the way', async () => {
    const page = await there.open('field', { viewport, javaScriptEnabled: false })
    await page.goto('/e/DEMO-R1')
    await page.getByRole('button', { name: 'Read them in feet instead' }).click()
    await page.getByLabel('Distance of the current probe (ft)').fill('100')
    await page.getByRole('button', { name: 'Set the distances' }).click()
    expect(await page.locator('#r1-place').textContent()).toBe('62 %: potential probe at 62 ft')
    for (const [i, ohm] of ['10,9', '11', '11,2'].entries()) await page.locator(`#r${i}-ohm`).fill(ohm)
    await page.locator('#measuredAs').selectOption('electrode-alone')
    await page.locator('#linkOpenedAt').fill('2026-05-04T10:00')
    await page.getByRole('radio', { name: 'Closed and tight', exact: true }).check()
    await page.getByRole('button', { name: 'Hand in', exact: true }).last().click()
    await page.getByRole('heading', { name: '3 things to mend' }).waitFor()
    await page.locator('#before').check()
    await page.locator('#linkClosedAt').fill('2026-05-04T11:00')
    await page.getByLabel('Earth put back by').fill('B. Crew')
    await page.locator('#after').check()
    await page.getByRole('button', { name: 'Hand in', exact: true }).last().click()
    expect(page.url()).toContain('received=new')
    const ref = /surveys\/(F-[A-Z0-9]+)/.exec(page.url())?.[1] ?? ''
    expect((await stored(ref))?.survey).toMatchObject({
      currentProbeM: 30.48,
      linkOpenedAt: '2026-05-04T10:00:00+02:00',
      linkClosedAt: '2026-05-04T11:00:00+02:00',
      restoredBy: 'B. Crew',
    })
  })
})

describe('by keyboard alone', () => {
  it('a survey is typed and handed in', async () => {
    const page = await openForm(there, '/surveys/new', { viewport: DESKTOP })
    await page.locator('#electrodeId').focus()
    await page.keyboard.type('DEMO-R1')
    await page.keyboard.press('Tab')
    await page.getByText('behind the pump house').first().waitFor()
    await page.locator('#currentProbeM').focus()
    await page.keyboard.type('30')
    await page.locator('#r0-ohm').focus()
    for (const ohm of ['10.9', '11', '11.2']) {
      await page.keyboard.type(ohm)
      // The keypad's own key leads on and never hands in.
      await page.keyboard.press('Enter')
    }
    await page.locator('#measuredAs').focus()
    await page.keyboard.press('ArrowDown')
    await page.locator('#linkChecked').focus()
    await page.keyboard.press('Space')
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('ArrowDown')
    const button = page.locator('.field-bar').getByRole('button', { name: 'Hand in' })
    await button.focus()
    await page.keyboard.press('Enter')
    await where(page).getByText('RECEIVED').waitFor()
    expect(await page.evaluate('document.activeElement.tagName')).toBe('H1')
    expect((await stored(refOf(page)))?.survey.linkChecked).toBe('not-opened')
  })
})

describe.each(['light', 'dark'] as const)('in %s colours', (colorScheme) => {
  it('no state of the form breaks an accessibility rule or is wider than a small phone', async () => {
    const page = await openForm(there, '/surveys/new', { colorScheme, bypassCSP: true })
    const check = async (state: string) => {
      expect([state, await broken(page)]).toEqual([state, []])
      const wider = await page.locator('html').evaluate((html) => html.scrollWidth - html.clientWidth)
      expect([state, wider]).toEqual([state, 0])
    }
    await page.locator('#electrodeId').focus()
    await page.locator('#electrode-choices button').first().waitFor()
    await check('choosing')
    await page.locator('#electrode-choices button').first().click()
    await typeReadings(page)
    await check('judged while typing')
    await finish(page)
    await page.locator('#r0-ohm').fill('1,200')
    await page.locator('.step').getByRole('button', { name: 'Hand in', exact: true }).click()
    await page.getByRole('heading', { name: 'One thing to mend' }).waitFor()
    await check('something to mend')
    await page.locator('#r0-ohm').fill('10,9')
    await handIn(page)
    await where(page).getByText('RECEIVED').waitFor()
    await check('received')
    await page.goto('/on-this-phone')
    await page.getByText('Received (1)').waitFor()
    await check('on this phone')
    await page.goto('/sites/DEMO-NORTH/labels')
    await check('labels')
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    await typeReadings(page)
    await page.getByLabel('Still open').check()
    await page.getByRole('dialog').waitFor()
    await check('alarm')
  }, 90_000)
})
