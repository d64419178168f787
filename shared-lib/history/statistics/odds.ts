/** Natural logarithm of the odds of a chance between 0 and 1, both excluded. */
export const lnOdds = (chance: number): number => Math.log(chance / (1 - chance))

/** The chance that has these odds. */
export const chanceOfLnOdds = (ln: number): number => 1 / (1 + Math.exp(-ln))
