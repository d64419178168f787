import { once } from 'node:events'
import { createServer, type IncomingHttpHeaders } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface Asked {
  method: string
  path: string
  headers: IncomingHttpHeaders
  body: string
}
interface Answer {
  status?: number
  json?: unknown
}

/** A local HTTP server in the place of an AWS service: the SDK's real client talks to it. Keeps what was asked of it. */
export async function awsDouble(answer: (asked: Asked, nth: number) => Answer) {
  const asked: Asked[] = []
  const server = createServer(async (request, response) => {
    let body = ''
    for await (const chunk of request) body += chunk
    const { method = '', url: path = '', headers } = request
    const one = { method, path, headers, body }
    asked.push(one)
    const { status = 200, json } = answer(one, asked.length - 1)
    response.writeHead(status, { 'content-type': 'application/x-amz-json-1.0' })
    response.end(json === undefined ? '' : JSON.stringify(json))
  })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const endpoint = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const credentials = { accessKeyId: 'none', secretAccessKey: 'none' }
  return {
    asked,
    /** For the SDK's clients. */
    settings: { endpoint, region: 'eu-west-1', credentials, maxAttempts: 1 },
    async close() {
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }
}
