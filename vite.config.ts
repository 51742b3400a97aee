import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';
import { pagePolicy, withDigests } from './src/page-policy.ts';
import { servedCompressed } from './src/served-compressed.ts';
import { withoutEval } from './src/without-eval.ts';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  // Relative, so that a station can serve the build from any folder.
  base: './',
  resolve: {
    // soundswallower imports this polyfill, which touches `document` and so dies in a worker; every browser we run in has Blob.
    alias: { 'blob-polyfill': here('./src/native-blob.ts') },
  },
  worker: { format: 'es', plugins: () => [withoutEval()] },
  build: { target: 'es2022', chunkSizeWarningLimit: 1500 },
  plugins: [
    pagePolicy(),
    servedCompressed(),
    VitePWA({
      // The app asks before it reloads, and never during a check: see `app.ts`.
      registerType: 'prompt',
      manifestFilename: 'manifest.webmanifest',
      manifest: {
        name: 'Two Needles',
        short_name: 'Two Needles',
        description: 'A hands-free second person in the cab for the air brake check of a fire apparatus.',
        display: 'standalone',
        start_url: './',
        background_color: '#14201f',
        theme_color: '#14201f',
        icons: [
          { src: 'icons/needles.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
          { src: 'icons/needles-192.png', sizes: '192x192', type: 'image/png' },
          { src: 'icons/needles-512.png', sizes: '512x512', type: 'image/png', purpose: 'any maskable' },
        ],
      },
      workbox: {
        // The 21 MB synthesiser and the recordings of the terminal's demo are fetched only when they are asked for.
        globPatterns: [
          '**/*.{html,js,css,svg,png,webmanifest}',
          'assets/*{soundswallower,vosk}*.wasm',
          'models/{own,embedded}/**/*',
          'voice/**/*',
        ],
        runtimeCaching: [
          // See `src/ui/shell/offline.ts`.
          { urlPattern: /\/voice\/flite\.wasm$/, handler: 'CacheFirst', options: { cacheName: 'on-request' } },
        ],
        globIgnores: ['check-screen.png', '**/flite*.wasm', 'demo/**'],
        maximumFileSizeToCacheInBytes: 16 * 1024 * 1024,
        manifestTransforms: [withDigests(here('./dist'))],
        navigateFallback: 'index.html',
        cleanupOutdatedCaches: true,
      },
    }),
  ],
});
