// What Trunk runs when one page is built: the steps follow one another, since each reads what the one
// before wrote.
await import("./split.mjs");
await import("./minify.mjs");
