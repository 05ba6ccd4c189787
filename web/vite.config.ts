import { defineConfig } from 'vite';

// File names are fixed, not hashed: the program embeds exactly these five files, and a changed build shows as a
// change in git, not as one file less and one more.
export default defineConfig({
  base: './',
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    cssCodeSplit: false,
    rolldownOptions: {
      output: {
        entryFileNames: 'app.js',
        codeSplitting: false,
        assetFileNames: (asset) => (asset.names[0]?.endsWith('.css') ? 'app.css' : '[name][extname]'),
      },
    },
  },
  server: { proxy: { '/api': { target: 'http://127.0.0.1:8460', ws: true } } },
});
