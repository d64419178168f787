import type { SpillPlace } from '../files/spill.ts'
import { type Column, createColumn } from './column.ts'

/** Where one judged test lies on disk, and which record of the output it belongs to. */
interface IndexedTest {
  record: number
  place: SpillPlace
}

export interface IndexedSite {
  siteId: string
  electrodes: Map<string, IndexedTest[]>
}

/** Which tests each electrode has, and which electrodes each site: 24 bytes a test, whatever the test holds. */
export interface TestIndex {
  add(siteId: string, electrodeId: string, test: IndexedTest): void
  siteCount: number
  /** Site by site, in order of first appearance; its electrodes likewise, and their tests in the order they came. */
  sites(): Generator<IndexedSite>
}

export function createTestIndex(): TestIndex {
  /** Each electrode's tests as a chain: its last test, and for each test the one before it (0 = none; numbers start at 1). */
  const sites = new Map<string, Map<string, number>>()
  const before: Column = createColumn(Uint32Array)
  const record: Column = createColumn(Uint32Array)
  const offset: Column = createColumn(Float64Array)
  const length: Column = createColumn(Uint32Array)

  const chain = (last: number): IndexedTest[] => {
    const tests: IndexedTest[] = []
    for (let n = last; n > 0; n = before.at(n - 1))
      tests.push({
        record: record.at(n - 1),
        place: { offset: offset.at(n - 1), length: length.at(n - 1) },
      })
    return tests.reverse()
  }

  return {
    add(siteId, electrodeId, test) {
      const electrodes = sites.get(siteId) ?? new Map<string, number>()
      sites.set(siteId, electrodes)
      before.push(electrodes.get(electrodeId) ?? 0)
      record.push(test.record)
      offset.push(test.place.offset)
      length.push(test.place.length)
      electrodes.set(electrodeId, before.length)
    },
    get siteCount() {
      return sites.size
    },
    *sites() {
      for (const [siteId, electrodes] of sites)
        yield { siteId, electrodes: new Map([...electrodes].map(([id, last]) => [id, chain(last)])) }
    },
  }
}
