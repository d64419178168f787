/**
 * Writes down every signed call to AWS that a function makes, one JSON line each, to the file named by STAKELINE_CALLS. The emulator's
 * functions load it by NODE_OPTIONS before their own code, so that the bundle that runs is the bundle that is deployed.
 */
import { appendFileSync } from 'node:fs'
import http from 'node:http'

const { STAKELINE_CALLS: file, AWS_LAMBDA_FUNCTION_NAME: functionName } = process.env
const { write, end } = http.ClientRequest.prototype
const bodies = new WeakMap()

const keep = (request, chunk) => {
  if (typeof chunk !== 'string' && !(chunk instanceof Uint8Array)) return
  bodies.set(request, [...(bodies.get(request) ?? []), Buffer.from(chunk)])
}

if (file && functionName) {
  http.ClientRequest.prototype.write = function (chunk, ...rest) {
    keep(this, chunk)
    return write.call(this, chunk, ...rest)
  }
  http.ClientRequest.prototype.end = function (chunk, ...rest) {
    keep(this, chunk)
    if (String(this.getHeader('authorization') ?? '').startsWith('AWS4-HMAC-SHA256')) {
      const target = this.getHeader('x-amz-target')
      // An object's bytes are not looked at.
      const body = target || this.path.startsWith('/v2/email') ? Buffer.concat(bodies.get(this) ?? []) : ''
      const line = {
        functionName,
        method: this.method,
        host: this.host,
        path: this.path,
        target,
        body: `${body}`,
      }
      appendFileSync(file, `${JSON.stringify(line)}\n`)
    }
    return end.call(this, chunk, ...rest)
  }
}
