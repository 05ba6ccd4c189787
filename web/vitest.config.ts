import { defineConfig } from 'vitest/config';

// Only pure modules are tested here, in Node; what needs a page is tested in the real browser (e2e/).
export default defineConfig({ test: { include: ['test/**/*.test.ts'], environment: 'node' } });
