/** The settings of a function as the stack gives them. Read once, when the function starts; nothing else reads the environment. */
export type Environment = Readonly<Record<string, string | undefined>>

/** A setting that must be there. @throws Error that names it: the stack and the code are not of one version then */
export function setting(env: Environment, name: string): string {
  const value = env[name]
  if (value === undefined || value === '')
    throw new Error(`The setting ${name} of this function is missing: deploy the stack of this version.`)
  return value
}

/** A setting that is a number. @throws Error that names it and what it is */
export function numberSetting(env: Environment, name: string): number {
  const text = setting(env, name)
  const value = Number(text)
  if (!Number.isFinite(value)) throw new Error(`The setting ${name} is "${text}"; it must be a number.`)
  return value
}

/** A setting that is `yes` or `no`. @throws Error that names it and what it is */
export function yesOrNoSetting(env: Environment, name: string): boolean {
  const text = setting(env, name)
  if (text !== 'yes' && text !== 'no')
    throw new Error(`The setting ${name} is "${text}"; it must be yes or no.`)
  return text === 'yes'
}
