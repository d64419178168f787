import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { DESKTOP, PHONE, visit } from './browser.ts'
import { fillDemo } from './demo.ts'
import { openHouse } from './house.ts'

/** Pictures of the pages for the documentation: `node tests/pages/screenshots.ts FOLDER`. The data is invented. */
const folder = process.argv[2]
if (folder === undefined) {
  console.error('Name the folder for the pictures: node tests/pages/screenshots.ts FOLDER')
  process.exit(2)
}
await mkdir(folder, { recursive: true })
const house = await openHouse()
await fillDemo(house)
const there = await visit(house)
const { items } = await house.deps.ledger.listFindings({ state: 'open', electrodeId: 'DEMO-R1' })
const shots: [
  name: string,
  role: Role,
  path: string,
  viewport: typeof PHONE,
  colorScheme: 'light' | 'dark',
][] = [
  ['home-field-phone', 'field', '/', PHONE, 'light'],
  ['form-phone', 'field', '/surveys/new?electrode=DEMO-R1', PHONE, 'light'],
  ['survey-desktop', 'quality', '/electrodes/DEMO-R1/surveys/DEMO-R1-2025', DESKTOP, 'light'],
  ['urgent-phone', 'field', '/electrodes/DEMO-R2/surveys/DEMO-R2-OPEN', PHONE, 'light'],
  ['electrode-desktop', 'quality', '/electrodes/DEMO-R1', DESKTOP, 'light'],
  ['findings-desktop', 'quality', '/findings', DESKTOP, 'light'],
  ['finding-dark', 'quality', `/findings/${encodeURIComponent(items[0]?.id ?? '')}`, DESKTOP, 'dark'],
  ['due-desktop', 'quality', '/due?to=2027-05', DESKTOP, 'light'],
]
try {
  for (const [name, role, path, viewport, colorScheme] of shots) {
    const page = await there.open(role, { viewport, colorScheme })
    await page.goto(path)
    await page.screenshot({ path: join(folder, `${name}.png`), fullPage: viewport === DESKTOP })
    await page.context().close()
  }
} finally {
  await there.close()
  await house.close()
}
