// What Trunk runs when everything is built: the steps follow one another, since each reads what the one
// before wrote.
await import("./minify.mjs");
await import("./offline.mjs");
