// Keeps one build of the app on the device, whole, so that it opens without a network.
//
// The build fills in the lists of its files and a name made from their content. The client's page is kept
// from the first visit on; the practitioner's only where it was opened, since a client never needs it;
// what reads codes once a camera was opened, since most phones do that by themselves; and what seals and
// opens with a passphrase once that was done, or with the practitioner's page.
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
  if (practised) await keepPractice();
}

async function keepPractice() {
  await keep("sealer");
  await keep("practice");
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
  if (event.data === "keep practice") event.waitUntil(keepPracticeOnce());
});

async function keepPracticeOnce() {
  const cache = await caches.open(CACHE);
  if (!(await cache.match(PAGES.practice))) await keepPractice();
}

addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  const page = /^\/practice(\/|$)/.test(address.pathname) ? PAGES.practice : PAGES.client;
  const wanted = request.mode === "navigate" ? page : address.pathname;
  event.respondWith(answer(request, wanted));
});

async function answer(request, wanted) {
  const cache = await caches.open(CACHE);
  const found = await cache.match(wanted);
  if (found) return found;
  const fetched = await fetch(request);
  const isKeptOnceUsed = PARTS.camera.includes(wanted) || PARTS.sealer.includes(wanted);
  if (fetched.ok && isKeptOnceUsed) await cache.put(wanted, fetched.clone());
  return fetched;
}
