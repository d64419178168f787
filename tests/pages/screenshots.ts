import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { everySite } from '../../shared-lib/ledger/every-site.ts'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { DESKTOP, PHONE, visit } from './browser.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { takeFieldPictures } from './field-pictures.ts'
import { NOW_MS, openHouse } from './house.ts'
import { takeInAll } from './take-in.ts'

/**
 * Pictures of every page for the documentation: `node tests/pages/screenshots.ts FOLDER [PATTERN]`, each on a phone and a desk
 * screen, light and dark; PATTERN narrows them by name. The data is invented.
 */
const CREW_FILE = [
  'survey_ref;electrode_id;tested_at;current_probe_m;r52_ohm;r62_ohm;r72_ohm;soil_state;Lorry',
  'B-1;DEMO-R1;2026-04-01T10:00Z;30;10,9;11,0;11,2;moyst;7',
  'B-2;DEMO-R2;01/04/2026 11:00;30;14,1;14,3;14,4;moist;7',
  'B-3;DEMO-R2;2026-04-02T11:00Z;30;14,1;14,3;14,4;moist;7',
].join('\n')

const folder = process.argv[2]
if (folder === undefined) {
  console.error('Name the folder for the pictures: node tests/pages/screenshots.ts FOLDER')
  process.exit(2)
}
await mkdir(folder, { recursive: true })
const house = await openHouse({ assets: await buildClient() })
await fillDemo(house)
await countFleet(house.deps.ledger, everySite(house.deps.ledger), new Date(NOW_MS).toISOString())
const there = await visit(house)
const { items } = await house.deps.ledger.listFindings({ state: 'open', electrodeId: 'DEMO-R1' })
await house.deps.desk.handIn(shortSurvey('DEMO-HELD', 'DEMO-R77', '2026-05-01T10:00:00Z', 10), {
  via: 'form',
  by: 'local:field',
})
await house.deps.ledger.putCalibration({
  instrumentId: 'DEMO-I1',
  calibratedOn: '2026-02-01',
  calibrationDueOn: '2027-02-01',
  accuracyPercent: 2,
})
const draft = await sendFile({ action: 'look' })
const refused = await sendFile({})
await takeInAll(house)
const step = items.find((f) => f.code === 'step-rise')

async function sendFile(more: Record<string, string>): Promise<string> {
  const form = new FormData()
  form.set('file', new File([CREW_FILE], 'crew 7 april.csv', { type: 'text/csv' }))
  for (const [name, value] of Object.entries(more)) form.set(name, value)
  return (await house.post('quality', '/uploads', form)).headers.get('Location')!
}

/** Each on a phone and on a desk screen, light and dark. */
const SHOWN: [name: string, role: Role, path: string][] = [
  ['home-field', 'field', '/'],
  ['home', 'quality', '/'],
  ['form', 'field', '/surveys/new?electrode=DEMO-R1'],
  ['survey', 'quality', '/electrodes/DEMO-R1/surveys/DEMO-R1-2025'],
  ['urgent', 'field', '/electrodes/DEMO-R2/surveys/DEMO-R2-OPEN'],
  ['record', 'quality', '/electrodes/DEMO-R1/surveys/DEMO-R1-2025/record'],
  ['electrodes', 'quality', '/electrodes'],
  ['electrode', 'quality', '/electrodes/DEMO-R1'],
  ['plan', 'quality', '/plan?electrode=DEMO-R1&room=25'],
  ['findings', 'quality', '/findings'],
  ['findings-by', 'quality', '/findings?group=kind'],
  ['finding', 'quality', `/findings/${encodeURIComponent(step?.id ?? '')}`],
  ['sites', 'quality', '/sites'],
  ['site', 'quality', '/sites/DEMO-NORTH'],
  ['site-summary', 'quality', '/sites/DEMO-NORTH/summary'],
  ['due', 'quality', '/due?to=2027-05'],
  ['calendar', 'quality', '/due/calendar'],
  ['uploads', 'quality', '/uploads'],
  ['upload-draft', 'quality', draft],
  ['upload-refused', 'quality', refused],
  ['held', 'quality', '/held'],
  ['held-one', 'quality', '/held/DEMO-R77/DEMO-HELD'],
  ['instruments', 'quality', '/instruments'],
  ['mail-settings', 'admin', '/mail-settings?address=ana%40example.org'],
  ['instrument', 'quality', '/instruments/DEMO-I1'],
  ['register-electrode', 'admin', '/register/electrode?id=DEMO-R1'],
]
const LOOKS = [
  ['phone', PHONE, 'light'],
  ['phone-dark', PHONE, 'dark'],
  ['desktop', DESKTOP, 'light'],
  ['desktop-dark', DESKTOP, 'dark'],
] as const
const only = process.argv[3]
const shots = SHOWN.flatMap(([name, role, path]) =>
  LOOKS.map(
    ([look, viewport, colorScheme]) => [`${name}-${look}`, role, path, viewport, colorScheme] as const,
  ),
).filter(([name]) => only === undefined || new RegExp(only).test(name))
try {
  for (const [name, role, path, viewport, colorScheme] of shots) {
    const page = await there.open(role, { viewport, colorScheme })
    await page.goto(path)
    await page.screenshot({
      path: join(folder, `${name}.png`),
      // What stands outside shows one screen of a phone: what is seen without scrolling is what matters there.
      fullPage: viewport === DESKTOP || role !== 'field',
    })
    await page.context().close()
  }
  await takeFieldPictures(there, folder)
} finally {
  await there.close()
  await house.close()
}
