import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

// The server hands the built files out under /static; nothing is inlined, so that the
// page's content security policy can forbid inline scripts.
export default defineConfig({
  base: "/static/",
  plugins: [svelte()],
  build: {
    outDir: "../src/finial/web/static",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    license: { fileName: "licenses.md" },
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
  },
});
