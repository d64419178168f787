import { resolve } from 'node:path'

/** How the one-machine service is set up. Read from the environment here and nowhere else. */
export interface LocalSettings {
  port: number
  dataDir: string
  loadSample: boolean
  mailHoldS: number
  /** Ordinary mails to one person in 24 hours at most; null: no bound. */
  mailsADay: number | null
  /** Silence that counts as no answer, until the next person is told: of an urgent finding, of a warning. */
  escalateUrgentH: number
  escalateWarningDays: number
  /** Adopt what the fleet has taught without asking. */
  adoptParameters: boolean
  operatorName: string
  fallbackEmail: string
  controlRoomPhone?: string
}

/** A setting that cannot be used; its message names the variable, the value and what is allowed. */
export class SettingError extends Error {}

function wholeNumber(name: string, text: string | undefined, fallback: number, max: number): number {
  if (text === undefined || text === '') return fallback
  const n = Number(text)
  if (!Number.isInteger(n) || n < 0 || n > max)
    throw new SettingError(`${name} is "${text}"; it takes a whole number from 0 to ${max}`)
  return n
}

function wholeNumberOrNone(name: string, text: string | undefined, max: number): number | null {
  return text === undefined || text === '' ? null : wholeNumber(name, text, 0, max)
}

function yesOrNo(name: string, text: string | undefined, fallback: boolean): boolean {
  if (text === undefined || text === '') return fallback
  if (text === 'yes' || text === 'no') return text === 'yes'
  throw new SettingError(`${name} is "${text}"; it takes yes or no`)
}

/** @throws SettingError */
export function readSettings(env: Record<string, string | undefined>): LocalSettings {
  return {
    port: wholeNumber('PORT', env.PORT, 4700, 65_535),
    dataDir: resolve(env.STAKELINE_DATA || '.stakeline'),
    loadSample: yesOrNo('STAKELINE_SAMPLE', env.STAKELINE_SAMPLE, true),
    mailHoldS: wholeNumber('STAKELINE_MAIL_HOLD_S', env.STAKELINE_MAIL_HOLD_S, 30, 900),
    // Mail of one machine goes into a folder, where it disturbs nobody: no bound unless one is set.
    mailsADay: wholeNumberOrNone('STAKELINE_MAILS_A_DAY', env.STAKELINE_MAILS_A_DAY, 1000),
    escalateUrgentH: wholeNumber('STAKELINE_ESCALATE_URGENT_H', env.STAKELINE_ESCALATE_URGENT_H, 2, 72),
    escalateWarningDays: wholeNumber(
      'STAKELINE_ESCALATE_WARNING_DAYS',
      env.STAKELINE_ESCALATE_WARNING_DAYS,
      7,
      28,
    ),
    adoptParameters: yesOrNo('STAKELINE_ADOPT_PARAMETERS', env.STAKELINE_ADOPT_PARAMETERS, false),
    operatorName: env.STAKELINE_OPERATOR || 'Sample operator (invented)',
    fallbackEmail: env.STAKELINE_FALLBACK_EMAIL || 'quality@example.org',
    ...(env.STAKELINE_CONTROL_ROOM_PHONE ? { controlRoomPhone: env.STAKELINE_CONTROL_ROOM_PHONE } : {}),
  }
}
