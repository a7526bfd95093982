// Keeps one build of the app on the device, whole, so that it opens without a network.
//
// The build fills in the list of its files and a name made from their content. A new build is fetched
// beside the old one and waits: the app asks before it takes over, and never in a session.
const FILES = __FILES__;
const CACHE = "carryover-__CONTENT__";
const PAGE = "/index.html";

addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)));
});

addEventListener("activate", (event) => {
  const drop = (names) => Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(drop));
});

addEventListener("message", (event) => {
  if (event.data === "take over") skipWaiting();
});

addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  const wanted = request.mode === "navigate" ? PAGE : address.pathname;
  const kept = caches.open(CACHE).then((cache) => cache.match(wanted));
  event.respondWith(kept.then((found) => found ?? fetch(request)));
});
