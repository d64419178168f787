/** What reads typed-in forms, by schemas that are built as they are read: needed when a form comes, not to show one. */
export const typedIn = () => import('./typed-in-readers.ts')
