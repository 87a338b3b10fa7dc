import { statSync } from 'node:fs';
import { defineConfig } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';

// The Go program in build/ runs this, with the release in the environment.
export default defineConfig({
  publicDir: '.out/public',
  define: {
    __RELEASE__: JSON.stringify(process.env.FAIRDAY_RELEASE ?? 'development'),
    __ENGINE_BYTES__: JSON.stringify(statSync('.out/engine.wasm').size),
  },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  worker: { format: 'es' },
  build: {
    outDir: 'dist',
    emptyOutDir: false, // dist/.keep is committed; build/ has emptied the rest
    target: 'es2022',
    assetsInlineLimit: 0, // the page's policy allows no data: scripts
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  plugins: [
    VitePWA({
      strategies: 'injectManifest',
      srcDir: 'src',
      filename: 'sw.ts',
      registerType: 'prompt',
      injectRegister: false,
      includeManifestIcons: false,
      injectManifest: {
        globPatterns: ['**/*.{html,js,css,wasm,svg}'],
        globIgnores: ['sw.js'],
        maximumFileSizeToCacheInBytes: 16 << 20,
      },
      manifest: {
        id: '/',
        name: 'Fairday',
        short_name: 'Fairday',
        description: "The shoot day, on everybody's phone.",
        lang: 'en-GB',
        start_url: '/',
        scope: '/',
        display: 'standalone',
        background_color: '#f6f0e6',
        theme_color: '#f6f0e6',
        icons: [
          { src: '/icon-192.png', sizes: '192x192', type: 'image/png' },
          { src: '/icon-512.png', sizes: '512x512', type: 'image/png' },
          { src: '/icon-maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
          { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml' },
        ],
      },
    }),
  ],
});
