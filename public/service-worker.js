// Keeps one build of the app on the device, whole, so that it opens without a network.
//
// The build fills in the lists of its files and a name made from their content. The client's page is kept
// from the first visit on; the practitioner's only where it was opened, since a client never needs it.
// A new build is fetched beside the old one and waits: the app asks before it takes over, and never in
// a session.
const PARTS = __PARTS__;
const CACHE = "carryover-__CONTENT__";
const PAGES = { client: "/index.html", practice: "/practice/index.html" };

addEventListener("install", (event) => {
  event.waitUntil(install());
});

async function install() {
  const practised = await caches.match(PAGES.practice);
  await keep("client");
  if (practised) await keep("practice");
}

async function keep(part) {
  const cache = await caches.open(CACHE);
  await cache.addAll(PARTS[part]);
}

addEventListener("activate", (event) => {
  const drop = (names) => Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(drop));
});

addEventListener("message", (event) => {
  if (event.data === "take over") skipWaiting();
  if (event.data === "keep practice") event.waitUntil(keepOnce("practice"));
});

async function keepOnce(part) {
  const cache = await caches.open(CACHE);
  if (!(await cache.match(PAGES[part]))) await keep(part);
}

addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  const page = /^\/practice(\/|$)/.test(address.pathname) ? PAGES.practice : PAGES.client;
  const wanted = request.mode === "navigate" ? page : address.pathname;
  const kept = caches.open(CACHE).then((cache) => cache.match(wanted));
  event.respondWith(kept.then((found) => found ?? fetch(request)));
});
