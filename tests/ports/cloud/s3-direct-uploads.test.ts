import { S3Client } from '@aws-sdk/client-s3'
import { afterEach, expect, it } from 'vitest'
import { s3DirectUploads } from '../../../shared-lib/ports/cloud/s3-direct-uploads.ts'
import { directKey, directTicket, ticketKey } from '../../../shared-lib/ports/direct-uploads.ts'
import { awsDouble } from './aws-double.ts'

let double: Awaited<ReturnType<typeof awsDouble>>
afterEach(() => double.close())

const ticket = directTicket.parse({
  ...{ uploadId: 'u-1', by: 'pool:u-1', role: 'field', sites: ['HILL'], fileName: 'day.csv', options: {} },
})
const uploads = async (status: number) => {
  double = await awsDouble(() => ({ status }))
  return s3DirectUploads('archive', new S3Client({ ...double.settings, forcePathStyle: true }))
}

it('a direct upload is one key, one type and so many bytes, as the signed policy says, until its time is over', async () => {
  const beforeMs = Date.now()
  const { fields } = await (await uploads(200)).issue(ticket, { mostBytes: 5000, lifeS: 600 })
  const policy = JSON.parse(Buffer.from(fields.Policy!, 'base64').toString()) as {
    expiration: string
    conditions: unknown[]
  }
  expect(policy.conditions).toContainEqual(['content-length-range', 1, 5000])
  expect(policy.conditions).toContainEqual(['eq', '$Content-Type', 'text/csv'])
  expect(policy.conditions).toContainEqual({ key: directKey('u-1') })
  expect(policy.conditions).toContainEqual({ bucket: 'archive' })
  const endsMs = Date.parse(policy.expiration)
  expect(endsMs).toBeGreaterThanOrEqual(beforeMs + 600_000 - 1000)
  expect(endsMs).toBeLessThanOrEqual(Date.now() + 600_000)
  expect(fields).toMatchObject({ key: directKey('u-1'), 'Content-Type': 'text/csv' })
})

it('who sends a direct upload is written down beside its place before the form is given out', async () => {
  await (await uploads(200)).issue(ticket, { mostBytes: 5000, lifeS: 600 })
  const [put] = double.asked
  expect(put).toMatchObject({ method: 'PUT' })
  expect(put!.path).toContain(`/archive/${ticketKey('u-1')}`)
  expect(put!.body).toContain(JSON.stringify(ticket))
})

it('no form is given out when the ticket could not be written', async () => {
  await expect((await uploads(503)).issue(ticket, { mostBytes: 5000, lifeS: 600 })).rejects.toThrow()
})
