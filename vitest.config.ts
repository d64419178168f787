import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/repeatable.ts'],
    // Browser and whole-service tests start real processes on two cores; single assertions stay fast.
    testTimeout: 30_000,
    hookTimeout: 60_000,
    pool: 'forks',
    maxWorkers: 2,
  },
})
