// npm run build: what is generated first, then the bundles.
await import("./generate.mjs");
await import("./bundle.mjs");
