import * as z from 'zod'

/**
 * How a deployment is set up: CDK context keys that begin with `stakeline:`, from cdk.json or `-c stakeline:key=value`. Everything an
 * operator chooses is here; what the code needs to be right (timeouts, queue settings) is not.
 */

/** The log retentions that CloudWatch Logs takes, days. */
const RETENTION_DAYS = [7, 14, 30, 60, 90, 180, 365, 731, 1827] as const

const text = (words: string) => z.string({ error: words }).trim().min(1, words)
const email = (what: string) => z.email({ error: `takes ${what}, like stakeline@example.org` })
const yesOrNo = z
  .union([z.boolean(), z.enum(['yes', 'no'])], { error: 'takes yes or no' })
  .transform((v) => v === true || v === 'yes')
const wholeNumber = (least: number, most: number, unit: string) =>
  z.coerce
    .number({ error: `takes a whole number of ${unit}, ${least} to ${most}` })
    .refine((n) => Number.isInteger(n) && n >= least && n <= most, {
      error: `takes a whole number of ${unit}, ${least} to ${most}`,
    })

const schema = z
  .strictObject({
    /** Begins the names of both stacks; two deployments in one account and region need two names. */
    name: z
      .string()
      .regex(/^[a-z][a-z0-9-]{1,20}$/, 'takes 2 to 21 small letters, digits and -, a letter first')
      .default('stakeline'),
    /** Where it is deployed; absent = what the AWS command line is set to. */
    region: z
      .string()
      .regex(/^[a-z]{2}(-[a-z]+)+-\d$/, 'takes a region, like eu-west-1')
      .optional(),
    operatorName: text('takes the name that pages and mails show'),
    mailFrom: email('the address mails come from'),
    /** `yes` asks SES to verify the domain of `mailFrom`; `no` when it is verified already. */
    createMailIdentity: yesOrNo.default(true),
    /** Who is told where the register names no responsible engineer. */
    fallbackEmail: email('the address of whoever hears what has no engineer'),
    /** Alarms go here; without it they are seen on the dashboard only. */
    alarmEmail: email('the address that alarms go to').optional(),
    controlRoomPhone: text('takes the number pages show with an urgent finding').optional(),
    mailHoldS: wholeNumber(0, 900, 'seconds').default(30),
    /** Ordinary mails to one person in 24 hours at most; what more there is goes with the next. Urgent mail always goes. */
    mailsADay: wholeNumber(1, 1000, 'mails').default(5),
    /** An urgent finding that nobody answers goes to the deputy after this, and to `fallbackEmail` after twice as long. */
    escalateUrgentH: wholeNumber(1, 72, 'hours').default(2),
    /** The same for a warning. */
    escalateWarningDays: wholeNumber(1, 28, 'days').default(7),
    /** `yes`: what the fleet taught judges from the same night on. `no`: an engineer or an administrator adopts it. */
    adoptLearnt: yesOrNo.default(false),
    logRetentionDays: z.coerce
      .number()
      .refine((n) => (RETENTION_DAYS as readonly number[]).includes(n), {
        error: `takes one of ${RETENTION_DAYS.join(', ')} days`,
      })
      .default(90),
    /** Uploaded files are kept this long; the surveys in them are kept for good. */
    uploadRetentionDays: wholeNumber(30, 3650, 'days').default(365),
    /** An address of the operator's own, with its certificate; without it the API's own address is used. */
    domainName: z
      .string()
      .regex(/^([a-z0-9]([a-z0-9-]*[a-z0-9])?\.)+[a-z]{2,}$/, 'takes a host name, like earth.example.org')
      .optional(),
    certificateArn: z
      .string()
      .regex(/^arn:[a-z-]+:acm:[a-z0-9-]+:\d{12}:certificate\/.+$/, 'takes the ARN of an ACM certificate')
      .optional(),
    /** `no` for a new account whose Lambda quota is too small to set anything aside. */
    reserveConcurrency: yesOrNo.default(true),
  })
  .refine((c) => (c.domainName === undefined) === (c.certificateArn === undefined), {
    path: ['domainName'],
    error: 'and certificateArn go together: give both or neither',
  })

export type StackConfig = z.output<typeof schema>

/** Settings that cannot be used; its message has one line each, with the key, what was given and what is allowed. */
export class ConfigError extends Error {}

const PREFIX = 'stakeline:'

/**
 * Reads and checks the settings among all context values; others than `stakeline:` keys are not looked at.
 * @throws ConfigError naming every setting that cannot be used, an unknown key included
 */
export function readConfig(context: Record<string, unknown>): StackConfig {
  const given = Object.fromEntries(
    Object.entries(context)
      .filter(([key, value]) => key.startsWith(PREFIX) && value !== '')
      .map(([key, value]) => [key.slice(PREFIX.length), value]),
  )
  const read = schema.safeParse(given)
  if (read.success) return read.data
  const lines = read.error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((key) => `${PREFIX}${key} is no setting; there are ${KEYS.join(', ')}`)
      : [line(String(issue.path[0]), issue.message, given)],
  )
  throw new ConfigError(['These settings cannot be used:', ...lines.map((l) => `  ${l}`)].join('\n'))
}

const KEYS = Object.keys(schema.shape)

function line(key: string, message: string, given: Record<string, unknown>): string {
  const was = key in given ? ` is "${String(given[key])}"; it` : ' is missing; it'
  return message.startsWith('and ') ? `${PREFIX}${key} ${message}` : `${PREFIX}${key}${was} ${message}`
}
