import { once } from 'node:events'
import { createServer, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import { S3Client } from '@aws-sdk/client-s3'

/** Answers a request in its own way and says so with true. */
export type Trouble = (response: ServerResponse, method: string, key: string) => boolean

const notThere = (response: ServerResponse) => {
  response.writeHead(404, { 'content-type': 'application/xml' })
  response.end('<Error><Code>NoSuchKey</Code><Message>The specified key does not exist.</Message></Error>')
}

/** A bucket in memory behind S3's own protocol on this machine, as far as the adapters speak it: the SDK's real client talks to it. */
export async function bucketDouble(trouble: Trouble = () => false) {
  const objects = new Map<string, Buffer>()
  const parts = new Map<number, Buffer>()
  let largestPartBytes = 0
  /** A file sent in parts: begun, each part put, then made whole or taken back. One at a time. */
  function inParts(
    response: ServerResponse,
    method: string,
    key: string,
    query: URLSearchParams,
    bytes: Buffer,
  ): void {
    const xml = (text: string) => {
      response.writeHead(200, { 'content-type': 'application/xml', etag: '"one"' })
      response.end(text)
    }
    if (query.has('uploads')) {
      parts.clear()
      xml(
        `<InitiateMultipartUploadResult><Bucket>archive</Bucket><Key>${key}</Key><UploadId>u</UploadId></InitiateMultipartUploadResult>`,
      )
    } else if (method === 'PUT') {
      parts.set(Number(query.get('partNumber')), bytes)
      largestPartBytes = Math.max(largestPartBytes, bytes.byteLength)
      xml('')
    } else if (method === 'POST') {
      const inOrder = [...parts].sort(([a], [b]) => a - b).map(([, part]) => part)
      objects.set(key, Buffer.concat(inOrder))
      parts.clear()
      xml(
        `<CompleteMultipartUploadResult><Bucket>archive</Bucket><Key>${key}</Key><ETag>"one"</ETag></CompleteMultipartUploadResult>`,
      )
    } else {
      parts.clear()
      response.writeHead(204).end()
    }
  }

  const server = createServer(async (request, response) => {
    const bytes = await buffer(request)
    const { method = '' } = request
    const { pathname, searchParams } = new URL(request.url!, 'http://here')
    const key = decodeURIComponent(pathname).replace('/archive/', '')
    if (trouble(response, method, key)) return
    if (searchParams.has('uploads') || searchParams.has('uploadId')) {
      inParts(response, method, key, searchParams, bytes)
      return
    }
    const stored = objects.get(key)
    if (method === 'PUT') objects.set(key, bytes)
    if (method === 'DELETE') objects.delete(key)
    if (method === 'GET' && !stored) return notThere(response)
    response.writeHead(method === 'DELETE' ? 204 : 200, { etag: '"one"' })
    response.end(method === 'GET' ? stored : '')
  })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return {
    objects,
    /** Parts that are neither made whole nor taken back. */
    partsLeft: () => parts.size,
    largestPartBytes: () => largestPartBytes,
    client: new S3Client({
      endpoint: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
      region: 'eu-west-1',
      credentials: { accessKeyId: 'none', secretAccessKey: 'none' },
      maxAttempts: 2,
      forcePathStyle: true,
    }),
    async close() {
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }
}
