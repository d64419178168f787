/** The one part of rate-limiter-flexible that is used, by its own file; the package types its index only. */
declare module 'rate-limiter-flexible/lib/RateLimiterMemory.js' {
  export { RateLimiterMemory as default } from 'rate-limiter-flexible'
}
