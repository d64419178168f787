import { afterAll, beforeAll, describe, it } from 'vitest'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { DESKTOP, type Visit, visit } from './browser.ts'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { takeInAll } from './take-in.ts'

let house: House
let there: Visit
beforeAll(async () => {
  house = await openHouse({ assets: await buildClient() })
  await fillDemo(house)
  there = await visit(house)
}, 60_000)
afterAll(async () => {
  await there.close()
  await house.close()
})

describe('an upload in a browser with scripts', () => {
  it('is dropped, looked through, handed in, followed to its end and mended, without a second look for the file', async () => {
    const page = await there.open('quality', { viewport: DESKTOP })
    await page.goto('/uploads')
    const csv =
      'survey_ref,electrode_id,tested_at,current_probe_m,r52_ohm,r62_ohm,r72_ohm\nD-1,DEMO-R1,2026-04-01T10:00Z,30,10.9,11.0,11.2\nD-2,DEMO-R2,2026-04-01T10:00Z,30,14.1,l4.3,14.4\n'
    const files = await page.evaluateHandle(`(() => {
      const transfer = new DataTransfer()
      transfer.items.add(new File([${JSON.stringify(csv)}], 'dropped.csv', { type: 'text/csv' }))
      return transfer
    })()`)
    await page.dispatchEvent('form[data-drop]', 'drop', { dataTransfer: files })
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: 'dropped.csv, looked through' }).waitFor()
    await page.getByRole('button', { name: 'Hand in the 1 sound survey' }).click()
    await page.getByText('Received, waiting.').waitFor()
    await takeInAll(house)
    await page.getByText('2 surveys read: 1 accepted, 1 refused').waitFor()
    await page.getByLabel('r62_ohm in row 3').fill('14.3')
    await page.getByRole('button', { name: 'Hand in the mended surveys' }).click()
    await page.getByText('Received, waiting.').waitFor()
    await takeInAll(house)
    await page.getByText('1 survey read: 1 accepted.').waitFor()
    await page.context().close()
  }, 60_000)
})
