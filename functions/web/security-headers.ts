import type { MiddlewareHandler } from 'hono'
import { secureHeaders } from 'hono/secure-headers'

/**
 * What a browser may do with our pages: everything from this service, nothing inline, nothing from elsewhere, never in a frame.
 * The referrer policy is `same-origin`, not `no-referrer`: with the latter browsers send `Origin: null` with a form, and the
 * same-origin check could not tell our own forms from a stranger's.
 */
export function securityHeaders(secure: boolean): MiddlewareHandler {
  return secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      imgSrc: ["'self'", 'data:'],
      connectSrc: ["'self'"],
      manifestSrc: ["'self'"],
      workerSrc: ["'self'"],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
    },
    // A page may ask for less than this; nothing may ask for more, because no handler sets a wider one.
    overwrite: false,
    referrerPolicy: 'same-origin',
    xFrameOptions: 'DENY',
    strictTransportSecurity: secure ? 'max-age=31536000' : false,
    permissionsPolicy: { camera: [], microphone: [], payment: [], usb: [], geolocation: ['self'] },
  })
}
