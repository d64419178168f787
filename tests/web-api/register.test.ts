import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
const northAdmin = someone('admin', { sites: ['North'] })
let house: House
beforeAll(async () => {
  house = await openHouse()
}, 30_000)
afterAll(() => house.close())

const load = (csv: string, table = 'electrodes', who = admin) =>
  house.call(who, 'POST', `/api/register?table=${table}`, csv, { 'Content-Type': 'text/csv' })
/** Electrodes that compare has been told of since the last look: each has a mark, and its site a message. */
const groups = async () => {
  const { ledger } = house.deps
  const told = new Set(house.toCompare.splice(0).map((m) => m.body.siteId))
  const marks = (await ledger.listMarks()).filter((m) => told.has(m.siteId))
  await ledger.clearMarks(marks)
  return marks.map((m) => m.electrodeId).sort()
}

const REGISTER = `electrode_id,site_id,kind,length_m,limit_ohm
R-1,North,rod,3,25
R-2,North,rod,abc,25
R-3,South,ring,,10
`

describe('POST /api/register', () => {
  it('writes the good rows, tells the refused ones by row and column, and says the same again when loaded twice', async () => {
    const first = await load(REGISTER)
    expect(first.status).toBe(200)
    expect(await first.json()).toMatchObject({
      created: 2,
      changed: 0,
      same: 0,
      rowsRefused: 1,
      refused: [{ row: 3, column: 'length_m', value: 'abc', code: 'not-a-number' }],
    })
    expect(await (await load(REGISTER)).json()).toMatchObject({ created: 0, changed: 0, same: 2 })
    expect((await house.deps.ledger.getElectrode('R-1'))?.electrode).toMatchObject({
      siteId: 'North',
      lengthM: 3,
    })
  })

  it('tells compare about the electrodes whose words changed, and about no others', async () => {
    await groups()
    await load(REGISTER.replace('R-1,North,rod,3,25', 'R-1,North,rod,3,20'))
    expect(await groups()).toEqual(['R-1'])
    expect(await house.deps.ledger.getMark('R-3')).toBeNull()
  })

  it('stores surveys that were held for a registered electrode, also when the electrode came by an earlier load', async () => {
    await house.call(admin, 'POST', '/api/surveys', shortSurvey('H-1', 'R-9', '2026-01-01T10:00:00Z', 11))
    expect(await (await load('electrode_id,site_id,kind\nR-9,North,rod\n')).json()).toMatchObject({
      created: 1,
      released: 1,
    })
    expect(await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'R-9' }, 'H-1')).not.toBeNull()
    expect(await house.deps.ledger.heldFor('R-9')).toEqual([])
  })

  it('refuses a file without the needed columns as a whole', async () => {
    const answer = await load('name,place\nR-1,North\n')
    expect(answer.status).toBe(422)
    expect(await answer.json()).toMatchObject({ type: '/problems/file-refused', refused: [{ row: null }] })
  })

  it('writes nothing of a file with an electrode at, or moved from, a site that is not the administrator’s', async () => {
    expect(
      (await load('electrode_id,site_id,kind\nR-20,North,rod\nR-21,South,rod\n', 'electrodes', northAdmin))
        .status,
    ).toBe(403)
    expect((await load('electrode_id,site_id,kind\nR-3,North,ring\n', 'electrodes', northAdmin)).status).toBe(
      403,
    )
    expect(
      (await load('electrode_id,purpose,limit_ohm\nR-3,lightning,5\n', 'limits', northAdmin)).status,
    ).toBe(403)
    expect(await house.deps.ledger.getElectrode('R-20')).toBeNull()
    expect(await house.deps.ledger.getLimits('R-3')).toEqual([])
  })

  it('loads limits and works, tells compare, and names electrodes that are not in the register yet', async () => {
    await groups()
    const limits = await load('electrode_id,purpose,limit_ohm\nR-1,lightning,10\nR-77,neutral,5\n', 'limits')
    expect(await limits.json()).toMatchObject({ created: 2, unknownElectrodes: ['R-77'] })
    expect(await groups()).toEqual(['R-1'])
    const works = await load('electrode_id,done_on,what\nR-1,2026-02-01,repaired\n', 'works')
    expect(await works.json()).toMatchObject({ created: 1 })
    expect(await groups()).toEqual(['R-1'])
  })

  it('loads calibrations and has the electrodes tested with the instrument since then judged anew', async () => {
    await house.call(admin, 'POST', '/api/surveys', {
      ...shortSurvey('I-1', 'R-1', '2026-01-01T10:00:00Z', 11),
      instrumentId: 'I-3',
    })
    await house.compare()
    await groups()
    await load('instrument_id,calibrated_on,accuracy_percent\nI-3,2025-06-01,2\n', 'instruments')
    expect(await groups()).toEqual(['R-1'])
    await load('instrument_id,calibrated_on,accuracy_percent\nI-3,2026-03-01,2\n', 'instruments')
    expect(await groups()).toEqual([])
  })
})

describe('PUT of the register', () => {
  it('registers (201), changes (200) and repeats (200) an electrode; earlier words stay for earlier tests', async () => {
    const put = async (words: object, query = '') =>
      (await house.call(admin, 'PUT', `/api/electrodes/P-1${query}`, words)).status
    expect(await put(rodAt('North'))).toBe(201)
    expect(await put(rodAt('North', { limitOhm: 10 }), '?validFrom=2026-01-01')).toBe(200)
    expect(await put(rodAt('North', { limitOhm: 10 }))).toBe(200)
    const { versions } = (await house.deps.ledger.getElectrode('P-1'))!
    expect(versions.map((v) => [v.from.slice(0, 10), v.electrode.limitOhm])).toEqual([
      ['', 25],
      ['2026-01-01', 10],
    ])
  })

  it('refuses an id in the body that is not the one in the address', async () => {
    const answer = await house.call(
      admin,
      'PUT',
      '/api/electrodes/P-2',
      rodAt('North', { electrodeId: 'P-3' }),
    )
    expect(answer.status).toBe(422)
    expect(await answer.json()).toMatchObject({ errors: [{ pointer: '/electrodeId' }] })
  })

  it('takes limits one by one or as a list, and writes none of a list with a fault', async () => {
    await house.call(admin, 'PUT', '/api/electrodes/P-4', rodAt('North'))
    const put = (body: unknown) => house.call(admin, 'PUT', '/api/limits/P-4', body)
    const faulty = await put([
      { purpose: 'lightning', limitOhm: 10 },
      { purpose: 'neutral', limitOhm: -1 },
    ])
    expect(faulty.status).toBe(422)
    expect(await faulty.json()).toMatchObject({ errors: [{ pointer: '/1/limitOhm' }] })
    expect(await house.deps.ledger.getLimits('P-4')).toEqual([])
    expect(await (await put({ purpose: 'lightning', limitOhm: 10 })).json()).toEqual({
      created: 1,
      changed: 0,
      same: 0,
    })
    expect(await (await put([{ purpose: 'lightning', limitOhm: 10 }])).json()).toEqual({
      created: 0,
      changed: 0,
      same: 1,
    })
    expect(
      (await house.call(admin, 'PUT', '/api/limits/nowhere', { purpose: 'x', limitOhm: 1 })).status,
    ).toBe(404)
  })

  it('records work once, and says which electrode it does not know', async () => {
    const work = { electrodeId: 'P-4', doneOn: '2026-02-01', what: 'extended' }
    expect((await house.call(admin, 'POST', '/api/works', work)).status).toBe(201)
    expect((await house.call(admin, 'POST', '/api/works', work)).status).toBe(200)
    const unknown = await house.call(admin, 'POST', '/api/works', [work, { ...work, electrodeId: 'nowhere' }])
    expect(unknown.status).toBe(422)
    expect(await unknown.json()).toMatchObject({
      errors: [{ pointer: '/1/electrodeId', code: 'unknown-electrode' }],
    })
  })

  it('records a calibration of an instrument', async () => {
    const answer = await house.call(admin, 'PUT', '/api/instruments/I-9', {
      calibratedOn: '2026-01-01',
      accuracyPercent: 2,
    })
    expect([answer.status, await answer.json()]).toEqual([200, { created: 1, changed: 0, same: 0 }])
    expect(await house.deps.ledger.getCalibrations('I-9')).toMatchObject([
      { instrumentId: 'I-9', accuracyPercent: 2 },
    ])
  })

  it('answers ids that cannot be stored with 422 and nothing internal', async () => {
    const answer = await house.call(admin, 'PUT', `/api/electrodes/${'x'.repeat(3000)}`, rodAt('North'))
    expect(answer.status).toBe(422)
    expect((await house.call(admin, 'GET', `/api/electrodes/${'x'.repeat(3000)}`)).status).toBe(422)
  })
})
