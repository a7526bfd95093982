// Keeps one build of the app on the device, whole, so that it opens without a network.
//
// The build fills in its files, each with the SHA-256 of its content, and a name made from all of them. Only
// what is exactly that is ever kept, so no host can put anything else in its place: not a page for a file that
// is missing, not a redirect, not a file of another build. A build is taken whole or not at all.
//
// The client's page is kept from the first visit on; the practitioner's only where it was opened, since a
// client never needs it; what reads codes once a camera was opened, since most phones do that by themselves;
// what seals and opens with a passphrase once that was done, or with the practitioner's page; and a single
// entry of the library once it was asked for.
// A new build is fetched beside the old one and waits: the app asks before it takes over, and never in
// a session. The one before stays, for a window that still runs it.
const PARTS = __PARTS__;
const DIGESTS = Object.assign({}, ...Object.values(PARTS));
const HOME = new URL("./", location.href);
const KEPT = `carryover:${HOME.pathname}:`;
const CACHE = `${KEPT}__CONTENT__`;
const PAGES = { client: "index.html", practice: "practice/index.html" };
// The content is what the digest says, so the type is known whatever a host calls it.
const TYPES = {
  css: "text/css; charset=utf-8",
  html: "text/html; charset=utf-8",
  ico: "image/x-icon",
  js: "text/javascript; charset=utf-8",
  json: "application/json",
  png: "image/png",
  txt: "text/plain; charset=utf-8",
  wasm: "application/wasm",
  webmanifest: "application/manifest+json",
};
// Of what a host says, what holds for a page that is kept, too.
const RULES = [
  "Content-Security-Policy",
  "Cross-Origin-Opener-Policy",
  "Cross-Origin-Resource-Policy",
  "Permissions-Policy",
  "Referrer-Policy",
  "X-Content-Type-Options",
];

addEventListener("install", (event) => {
  event.waitUntil(install());
});

async function install() {
  const wanted = ["client"];
  for (const part of ["practice", "camera", "sealer"]) if (await wasKept(part)) wanted.push(part);
  await keep(wanted);
}

/** Whether the build before keeps a part, be it under the names of today or those of the first workers. */
async function wasKept(part) {
  const [path] = Object.keys(PARTS[part]).filter((path) => !isNamedByContent(path));
  for (const name of (await caches.keys()).filter(isOurs)) {
    const cache = await caches.open(name);
    if (path && (await cache.match(new URL(path, HOME)))) return true;
  }
  return false;
}

/** Keeps parts of this build, all or nothing. A page comes after everything that it names. */
async function keep(parts) {
  const isThere = await caches.has(CACHE);
  const before = isThere ? await caches.open(CACHE) : undefined;
  const paths = parts.flatMap((part) => Object.keys(PARTS[part]));
  const answers = await Promise.all(
    paths.map(async (path) => ((await before?.match(new URL(path, HOME))) ? [] : [[path, await fetched(path)]])),
  );
  try {
    const cache = await caches.open(CACHE);
    const isPage = ([path]) => Object.values(PAGES).includes(path);
    const inOrder = answers.flat().sort((one, other) => isPage(one) - isPage(other));
    for (const [path, answer] of inOrder) await cache.put(new URL(path, HOME), answer);
  } catch (error) {
    if (!isThere) await caches.delete(CACHE);
    throw error;
  }
}

/** A file of this build, or nothing: what the browser has of it will do, where that is it. */
async function fetched(path) {
  for (const cache of ["default", "reload"]) {
    const answer = await fetch(new URL(path, HOME), { cache, mode: "same-origin" });
    const bytes = await answer.arrayBuffer();
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    if (answer.ok && btoa(String.fromCharCode(...digest)) === DIGESTS[path]) return rebuilt(path, bytes, answer.headers);
  }
  throw new Error(`${path} is not the one of this build`);
}

/** An answer of our own: one that was redirected must not be given to a page. */
function rebuilt(path, bytes, said) {
  const headers = new Headers({ "Content-Type": TYPES[path.split(".").pop()] });
  for (const name of RULES) if (said.has(name)) headers.set(name, said.get(name));
  return new Response(bytes, { headers });
}

addEventListener("activate", (event) => {
  event.waitUntil(dropOld());
});

async function dropOld() {
  const others = (await caches.keys()).filter((name) => isOurs(name) && name !== CACHE);
  const last = others.filter((name) => name.startsWith(KEPT)).pop();
  await Promise.all(others.filter((name) => name !== last).map((name) => caches.delete(name)));
}

/** Other apps may share the origin. The first workers, all at its root, had names of another form. */
function isOurs(name) {
  return name.startsWith(KEPT) || (HOME.pathname === "/" && /^carryover-[0-9a-f]{16}$/.test(name));
}

addEventListener("message", (event) => {
  if (event.data === "take over") skipWaiting();
  // Should the host have another build by now, that one is on its way.
  if (event.data === "keep practice") event.waitUntil(keep(["sealer", "practice"]).catch(() => {}));
});

addEventListener("fetch", (event) => {
  const { request } = event;
  const path = pathOf(request.url);
  if (request.method !== "GET" || path === undefined) return;
  if (request.mode === "navigate") {
    event.respondWith(page(request, path in DIGESTS ? path : pageAt(path)));
  } else if (request.cache === "reload") {
    // Who asks so wants it from the host.
  } else if (path in DIGESTS) {
    event.respondWith(file(event, path));
  } else if (isNamedByContent(path)) {
    event.respondWith(ofBuildBefore(request));
  }
});

/** Where in the app an address is, if it is. */
function pathOf(address) {
  const { origin, pathname } = new URL(address);
  return origin === HOME.origin && pathname.startsWith(HOME.pathname) ? pathname.slice(HOME.pathname.length) : undefined;
}

function pageAt(path) {
  return /^practice(\/|$)/.test(path) ? PAGES.practice : PAGES.client;
}

function isNamedByContent(path) {
  return /-[0-9a-f]{12,16}(_bg)?\.(css|js|wasm)$/.test(path);
}

async function page(request, path) {
  const cache = await caches.open(CACHE);
  return (await cache.match(new URL(path, HOME))) ?? fetch(request);
}

async function file({ request, clientId }, path) {
  const cache = await caches.open(CACHE);
  // A page that did not come from here can be of another build.
  if (await isStranger(clientId, cache)) return fetch(request);
  const found = await cache.match(new URL(path, HOME));
  if (found) return found;
  try {
    const answer = await fetched(path);
    await cache.put(new URL(path, HOME), answer.clone());
    return answer;
  } catch {
    return Response.error();
  }
}

async function isStranger(clientId, cache) {
  const client = clientId ? await clients.get(clientId) : undefined;
  const at = client && pathOf(client.url);
  if (at === undefined || at in DIGESTS) return false;
  return !(await cache.match(new URL(pageAt(at), HOME)));
}

async function ofBuildBefore(request) {
  for (const name of (await caches.keys()).filter((name) => name.startsWith(KEPT))) {
    const found = await (await caches.open(name)).match(request.url);
    if (found) return found;
  }
  return fetch(request);
}
