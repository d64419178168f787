import { documentClient } from '../../shared-lib/ledger/document-client.ts'
import { findingId } from '../../shared-lib/ledger/finding-id.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { findingKey, findingListing } from '../../shared-lib/ledger/keys.ts'
import { row } from '../../shared-lib/ledger/rows.ts'
import { tableAccess } from '../../shared-lib/ledger/table-access.ts'
import { FINDING_CODES } from '../../shared-lib/survey/finding.ts'
import type { House } from './house.ts'

/** Electrodes `MANY-0` … of two sites, and `count` open findings about them, written as the ledger writes them. */
export async function plantFindings(house: House, count: number): Promise<FindingItem[]> {
  const { client, tableName } = house.table
  const table = tableAccess(documentClient(client), tableName)
  const nowIso = new Date(house.deps.clock.nowMs()).toISOString()
  const electrodes = Math.ceil(count / 10)
  for (let i = 0; i < electrodes; i += 50)
    await Promise.all(
      Array.from({ length: Math.min(50, electrodes - i) }, (_, k) =>
        house.deps.ledger.putElectrode(
          { electrodeId: `MANY-${i + k}`, siteId: `MANY-SITE-${(i + k) % 2}`, kind: 'rod', lengthM: 3 },
          { nowIso },
        ),
      ),
    )
  const codes = FINDING_CODES.slice(2, 8)
  const findings = Array.from({ length: count }, (_, i): FindingItem => {
    const n = i % electrodes
    const electrodeId = `MANY-${n}`
    const code = codes[Math.floor(i / electrodes) % codes.length]!
    const surveyRef = `S-${Math.floor(i / electrodes)}`
    return {
      id: findingId(electrodeId, surveyRef, code),
      code,
      severity: i % 50 === 0 ? 'urgent' : 'warning',
      probability: 0.9,
      message: `Reading ${i} stands apart from its neighbours by 30 %. Repeat the test on the same line within 14 days.`,
      advice: ['Repeat the test on the same line.'],
      evidence: {},
      state: 'open',
      electrodeId,
      siteId: `MANY-SITE-${n % 2}`,
      surveyRef,
      testedAt: `2026-04-${String((i % 28) + 1).padStart(2, '0')}T10:00:00Z`,
      openedAt: new Date(Date.parse('2026-04-01T00:00:00Z') + i * 1000).toISOString(),
      instrumentId: `I-${i % 7}`,
      tester: `Tester ${i % 5}`,
    }
  })
  await table.writeMany(
    findings.map(({ state, ...d }) =>
      row(findingKey(d.electrodeId, d.id), { d, state, ...findingListing({ ...d }, state) }),
    ),
    [],
  )
  return findings
}
