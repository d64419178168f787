import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import type { LocalSettings } from '../../cdk/local/settings.ts'
import { startLocal } from '../../cdk/local/start-local.ts'

/** Words that name a person or would let somebody in. None of them may come up in a line that is written down. */
const PERSONAL = ['zora', 'testperson', 'zora.testperson@example.org', '+43 660 5550100']

let dataDir: string
const said: string[] = []
let service: Awaited<ReturnType<typeof startLocal>>

beforeAll(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'stakeline-logs-'))
  for (const channel of ['log', 'info', 'warn', 'error'] as const)
    vi.spyOn(console, channel).mockImplementation((...parts: unknown[]) => {
      said.push(parts.map(String).join(' '))
    })
  const settings: LocalSettings = {
    port: 0,
    dataDir,
    loadSample: false,
    mailHoldS: 0,
    mailsADay: null,
    escalateUrgentH: 2,
    escalateWarningDays: 7,
    adoptParameters: false,
    operatorName: 'Invented Grid',
    fallbackEmail: 'zora.testperson@example.org',
  }
  service = await startLocal(settings, (entry) => {
    said.push(JSON.stringify(entry))
  })
}, 30_000)
afterAll(async () => {
  await service.stop()
  vi.restoreAllMocks()
  await rm(dataDir, { recursive: true, force: true, maxRetries: 5 })
})

const as = (token: string, type: string) => ({ authorization: `Bearer ${token}`, 'content-type': type })
const send = (method: string, path: string, body: string, type = 'application/json') =>
  fetch(service.url + path, { method, headers: as(service.adminToken, type), body })
const survey = (ref: string, ohm: number) => ({
  surveyRef: ref,
  electrodeId: 'E-1',
  testedAt: '2026-04-01T10:00:00Z',
  currentProbeM: 30,
  tester: 'Zora Testperson',
  secondPerson: 'Zora Testperson +43 660 5550100',
  notes: 'ask zora.testperson@example.org',
  readings: [15.6, 18.6, 21.6].map((potentialProbeM) => ({ potentialProbeM, resistanceOhm: ohm })),
})

describe('what the service writes down over a whole scenario', () => {
  it('names nobody and gives no token away, also where something fails', async () => {
    const register =
      'electrode_id,site_id,kind,limit_ohm,responsible_email\nE-1,North,rod,25,zora.testperson@example.org\n'
    await send('POST', '/api/register', register, 'text/csv')
    const statuses = [
      await send('POST', '/api/surveys', JSON.stringify(survey('Z-1', 60))),
      // A conflict, a body that cannot be read, fields that are wrong, a file with refused rows.
      await send('POST', '/api/surveys', JSON.stringify(survey('Z-1', 61))),
      await send('POST', '/api/surveys', '{"tester":"Zora Testperson"'),
      await send('POST', '/api/surveys', JSON.stringify({ ...survey('Z-2', 5), testedAt: 'zora' })),
      await send(
        'POST',
        '/api/uploads',
        'survey_ref,electrode_id,tested_at,tester\nZ-3,E-1,zora,Zora Testperson\n',
        'text/csv',
      ),
      await send('GET', '/api/electrodes/zora.testperson%40example.org', undefined as never),
      await fetch(`${service.url}/sign-in?token=zora.testperson`),
      await fetch(`${service.url}/api/sites`, { headers: { authorization: 'Bearer zora.testperson' } }),
    ].map((a) => a.status)
    expect(statuses).toEqual([201, 409, 400, 422, 202, 404, 401, 401])
    // The news goes out by mail, which is written down too.
    await vi.waitFor(() => expect(said.join('\n')).toContain('"message":"told"'), { timeout: 15_000 })
    const written = said.join('\n').toLowerCase()
    expect(said.filter((line) => line.includes('"message":"refused"')).length).toBeGreaterThanOrEqual(3)
    for (const word of PERSONAL) expect(written).not.toContain(word)
    for (const token of [service.adminToken, ...Object.values(service.signInLinks)])
      expect(written).not.toContain(token.split('token=').at(-1)!.toLowerCase())
  }, 30_000)
})
