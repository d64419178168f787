import { join } from 'node:path'
import type { Page } from 'playwright-core'
import type { Visit } from './browser.ts'
import { finish, handIn, openForm, SMALL_PHONE, typeReadings } from './field-visit.ts'

/** Pictures of the form as a crew sees it while working: light by day, dark at night, and what cannot wait. */
export async function takeFieldPictures(there: Visit, folder: string): Promise<void> {
  const shoot = (page: Page, name: string) => page.screenshot({ path: join(folder, `${name}.png`) })
  for (const colorScheme of ['light', 'dark'] as const) {
    const page = await openForm(there, '/surveys/new', { colorScheme, viewport: SMALL_PHONE })
    await page.locator('#electrodeId').focus()
    await page.locator('#electrode-choices button').first().waitFor()
    await shoot(page, `field-choose-phone-${colorScheme}`)
    await page.getByRole('button', { name: /DEMO-R1/ }).click()
    await typeReadings(page, ['10,9', '11', ''])
    await page.locator('#r1-ohm').scrollIntoViewIfNeeded()
    await shoot(page, `field-next-stake-phone-${colorScheme}`)
    await page.locator('#r2-ohm').fill('11,2')
    await finish(page)
    await page.locator('#so-far').scrollIntoViewIfNeeded()
    await shoot(page, `field-stands-phone-${colorScheme}`)
    await page.context().setOffline(true)
    await handIn(page)
    await page.getByText('ON THIS PHONE, not sent').waitFor()
    await page.getByText('No connection').waitFor()
    await shoot(page, `field-kept-phone-${colorScheme}`)
    await page.context().setOffline(false)
    await page.goto('/on-this-phone')
    await page.getByText('RECEIVED no.').waitFor()
    await shoot(page, `field-list-phone-${colorScheme}`)
    await page.context().close()
  }
  const page = await openForm(there, undefined, { viewport: SMALL_PHONE })
  await page.getByLabel('Still open').check()
  await page.getByRole('dialog').getByRole('link', { name: 'engineer@example.org' }).waitFor()
  await shoot(page, 'field-urgent-phone')
  await page.context().close()
}
