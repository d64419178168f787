export type LedgerErrorCode = 'item-too-large' | 'bad-number' | 'bad-key' | 'unknown-version' | 'overloaded'

/**
 * What the ledger cannot do and says so: thrown, because the caller has sent something that no repeat will make fit
 * (`item-too-large`, `bad-number`, `bad-key`), the stored item is from a newer program (`unknown-version`), or the table kept
 * refusing for longer than it is worth to wait (`overloaded`, the only one that a later repeat cures).
 */
export class LedgerError extends Error {
  readonly code: LedgerErrorCode
  readonly detail: Record<string, unknown>

  constructor(code: LedgerErrorCode, message: string, detail: Record<string, unknown> = {}, cause?: unknown) {
    super(message, { cause })
    this.name = 'LedgerError'
    this.code = code
    this.detail = detail
  }
}
