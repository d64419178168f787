/** An address on this service, or null: never one that a browser would read as another host. */
export function ownPath(address: string | undefined): string | null {
  if (!address || address.length > 2000 || /[\\\s]/.test(address)) return null
  return /^\/(?!\/)/.test(address) ? address : null
}
