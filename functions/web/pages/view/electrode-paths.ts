const e = encodeURIComponent

/** The addresses that the form on a phone links to: apart from the others, because it carries every byte it names. */
export const electrodePaths = {
  electrode: (id: string) => `/electrodes/${e(id)}`,
  survey: (electrodeId: string, ref: string) => `/electrodes/${e(electrodeId)}/surveys/${e(ref)}`,
} as const
