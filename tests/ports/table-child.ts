/** Run by table-kill.test.ts: writes without end, several at a time, and says each name once the table has acknowledged it. */
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { electrode, NOW, survey } from '../ledger/examples.ts'

const ledger = createLedger(await openTable({ dataDir: process.argv[2]!, apart: true }))
const hand = async (h: number) => {
  for (let n = 0; ; n++) {
    const id = `${h}-${n}`
    await ledger.putElectrode(electrode(id, { siteId: `site ${h}` }), { nowIso: NOW })
    await ledger.putSurvey(survey(id, 'first'))
    await ledger.markDue([id], { stamp: 's', nowIso: NOW })
    process.stdout.write(`${id}\n`)
  }
}
await Promise.all([0, 1, 2, 3].map(hand))
