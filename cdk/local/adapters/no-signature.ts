import type { RequestSigner } from '@smithy/types'

/**
 * In place of a signature, the words the embedded table asks to see: it knows no accounts and checks none, and it is reached from
 * this machine only. Reckoning real ones took a tenth of the service's time.
 */
export const noSignature: RequestSigner = {
  async sign(request) {
    request.headers.authorization = 'AWS4-HMAC-SHA256 Credential=local, SignedHeaders=host, Signature=none'
    request.headers['x-amz-date'] = '20000101T000000Z'
    return request
  },
}
