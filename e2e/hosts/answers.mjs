// The web servers of docs/hosting.md answer as that page says: pages where there is no file, 404 where one is
// missing, the headers of the build's own list, and files that are packed.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { get } from "node:http";
import { join } from "node:path";
import { copy } from "./builds.mjs";
import { rules } from "./kinds.mjs";
import { startServers } from "./servers.mjs";

const build = copy("A");
const client = readFileSync(join(build.folder, "index.html"));
const practice = readFileSync(join(build.folder, "practice/index.html"));
const program = build.named.find((path) => path.endsWith("_bg.wasm"));
const script = build.named.find((path) => path.startsWith("start-"));
const headersOf = rules(build.folder);

/** An answer as it came, packed or not. */
function ask(port, path, accepts = "") {
  return new Promise((done, failed) => {
    const asking = get({ port, host: "127.0.0.1", path, headers: { "Accept-Encoding": accepts } }, async (answer) => {
      const parts = [];
      for await (const part of answer) parts.push(part);
      done({ status: answer.statusCode, headers: answer.headers, body: Buffer.concat(parts) });
    });
    asking.on("error", failed);
  });
}

const { kinds, stop } = await startServers();
try {
  for (const [name, { port, show }] of Object.entries(kinds)) {
    show(build.folder);
    const is = async (path, type, body) => {
      const answer = await ask(port, path);
      assert.equal(answer.status, 200, `${name} ${path}`);
      assert.match(answer.headers["content-type"], type, `${name} ${path}`);
      assert.ok(answer.body.equals(body), `${name} ${path} has another content`);
      for (const [header, value] of Object.entries(headersOf(path))) {
        assert.equal(answer.headers[header.toLowerCase()], value, `${name} ${path} ${header}`);
      }
    };
    const file = (path) => readFileSync(join(build.folder, path));
    for (const path of ["/", "/help", "/exercise/heel", "/no/such/page"]) await is(path, /^text\/html/, client);
    for (const path of ["/practice/", "/practice/client/a"]) await is(path, /^text\/html/, practice);
    await is(`/${program}`, /^application\/wasm$/, file(program));
    await is(`/${script}`, /^(text|application)\/javascript/, file(script));
    await is("/service-worker.js", /^(text|application)\/javascript/, file("service-worker.js"));
    await is("/library.json", /^application\/json/, file("library.json"));
    await is("/manifest.webmanifest", /^application\/manifest\+json/, file("manifest.webmanifest"));

    const gone = `/${program.replace(/[0-9a-f]{16}/, "0".repeat(16))}`;
    for (const path of ["/no-such.js", "/no-such.wasm", "/practice/no-such.js", "/library/no-such.json", gone]) {
      const { status, headers } = await ask(port, path);
      assert.equal(status, 404, `${name} ${path}`);
      assert.doesNotMatch(headers["cache-control"] ?? "", /max-age/, `${name} ${path} must not be kept`);
    }

    for (const path of ["/", `/${program}`, `/${script}`, "/library.json"]) {
      const plain = await ask(port, path);
      const packed = await ask(port, path, "gzip");
      assert.equal(packed.headers["content-encoding"], "gzip", `${name} ${path}`);
      assert.equal(packed.headers["content-type"], plain.headers["content-type"], `${name} ${path}`);
      assert.match(packed.headers.vary ?? "", /accept-encoding/i, `${name} ${path}`);
      assert.ok(packed.body.length < plain.body.length || plain.body.length < 500, `${name} ${path} is not packed`);
    }
    console.log(`  ${name} answers as docs/hosting.md says`);
  }
} finally {
  stop();
}
