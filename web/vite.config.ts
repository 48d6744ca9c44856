import { svelte } from "@sveltejs/vite-plugin-svelte";
import { svelteTesting } from "@testing-library/svelte/vite";
import { defineConfig } from "vitest/config";

// The page is built into the server's package, which embeds it. Nothing is put
// inline: the server's content security policy allows only its own files.
export default defineConfig({
  plugins: [svelte(), svelteTesting()],
  build: {
    outDir: "../internal/workshop/page/dist",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: "es2022",
    chunkSizeWarningLimit: 700,
  },
  server: { proxy: { "/api": process.env.WORKSHOP ?? "http://127.0.0.1:7373" } },
  test: { environment: "happy-dom", include: ["src/**/*.test.ts"] },
});
