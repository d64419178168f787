import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { DESKTOP, type Visit, visit } from './browser.ts'
import { type House, openHouse } from './house.ts'
import { plantFindings } from './many-findings.ts'

let house: House
let there: Visit
beforeAll(async () => {
  house = await openHouse({ assets: await buildClient() })
  await plantFindings(house, 30)
  there = await visit(house)
}, 60_000)
afterAll(async () => {
  await there.close()
  await house.close()
})

const said = (page: Page) => page.locator('[data-said]')
const here = (page: Page) => page.locator('tr.here')

async function idOf(page: Page): Promise<string> {
  return (await here(page).getAttribute('data-names'))!.split('~')[0]!
}

describe('the queue by keys alone', () => {
  it('accepts, moves on, takes back, and sets aside with a reason', async () => {
    const page = await there.open('quality', { viewport: DESKTOP })
    await page.goto('/findings?site=MANY-SITE-0')
    await page.keyboard.press('j')
    const first = await idOf(page)
    await page.keyboard.press('a')
    await said(page).filter({ hasText: 'value accepted' }).waitFor({ state: 'attached' })
    expect((await house.deps.ledger.getFinding(first))?.state).toBe('closed')
    expect(await idOf(page)).not.toBe(first)
    await page.keyboard.press('u')
    await said(page).filter({ hasText: 'opened again' }).waitFor({ state: 'attached' })
    expect((await house.deps.ledger.getFinding(first))?.state).toBe('open')
    expect(await idOf(page)).toBe(first)

    await page.keyboard.press('x')
    await page.keyboard.press('j')
    await page.keyboard.press('x')
    const second = await idOf(page)
    expect(await page.locator('[data-ticked]').textContent()).toBe(' (2)')
    await page.keyboard.press('r')
    // Keys are letters again while a reason is written.
    await page.keyboard.type('jax')
    await page.keyboard.press('Enter')
    await said(page).filter({ hasText: 'survey set aside' }).waitFor({ state: 'attached' })
    for (const id of [first, second])
      expect((await house.deps.ledger.getFinding(id))?.ruling).toMatchObject({
        action: 'set-aside',
        reason: 'jax',
      })
    await page.keyboard.press('u')
    await said(page).filter({ hasText: 'opened again' }).waitFor({ state: 'attached' })
    await page.keyboard.press('?')
    expect(await page.getByText('goes to the reason, Enter sends').isVisible()).toBe(true)
    await page.keyboard.press('o')
    await page.waitForURL(/\/findings\/TUFOW/)
    await page.context().close()
  }, 60_000)

  it('never hides the finding it stands on behind the bar of decisions', async () => {
    const page = await there.open('quality', { viewport: DESKTOP })
    await page.goto('/findings')
    for (let i = 0; i < 12; i++) {
      await page.keyboard.press('j')
      const row = (await here(page).boundingBox())!
      const bar = (await page.locator('.bulk').boundingBox())!
      expect(row.y + row.height).toBeLessThanOrEqual(bar.y + 1)
    }
    await page.context().close()
  }, 30_000)

  it('tells of a decision made meanwhile in the row, and the next press stands on top of it', async () => {
    const page = await there.open('quality', { viewport: DESKTOP })
    await page.goto('/findings?site=MANY-SITE-1')
    await page.keyboard.press('j')
    const id = await idOf(page)
    const decision = { action: 'confirm', reason: 'seen on site' }
    await house.post('quality', `/findings/${id}/decisions`, decision, { id: 'local:second', name: 'Ana' })
    await page.keyboard.press('a')
    await here(page).getByText('Ana (local:second) decided this').waitFor()
    expect((await house.deps.ledger.getFinding(id))?.ruling?.action).toBe('confirm')
    await page.keyboard.press('a')
    await said(page).filter({ hasText: 'value accepted' }).waitFor({ state: 'attached' })
    expect((await house.deps.ledger.getFinding(id))?.ruling?.action).toBe('accept')
    await page.context().close()
  }, 60_000)

  it('says that nothing was sent when the service cannot be reached, and keeps the reason', async () => {
    const page = await there.open('quality', { viewport: DESKTOP })
    await page.goto('/findings?site=MANY-SITE-1')
    await page.getByLabel('In your own words').fill('kept')
    await page.context().setOffline(true)
    await page.locator('main').focus()
    await page.keyboard.press('j')
    const id = await idOf(page)
    await page.keyboard.press('t')
    await said(page).filter({ hasText: 'Nothing was sent' }).waitFor({ state: 'attached' })
    expect(await page.getByLabel('In your own words').inputValue()).toBe('kept')
    expect((await house.deps.ledger.getFinding(id))?.state).toBe('open')
    await page.context().close()
  }, 60_000)
})
