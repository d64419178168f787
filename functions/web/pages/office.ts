/**
 * The pages of the office, read together when the first of them is asked for: a crew's form needs none of them, and many small files
 * cost a new copy of the function more time than they save.
 */
export const office = () => import('./office-pages.ts')
