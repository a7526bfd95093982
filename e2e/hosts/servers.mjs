// The web servers of docs/hosting.md, each started with the text that stands there, but for its address, its
// folder and its certificate.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { chmodSync, cpSync, existsSync, mkdtempSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { connect, createServer } from "node:net";
import { tmpdir, userInfo } from "node:os";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { findProgram } from "../chromium.mjs";

const DOCS = readFileSync(fileURLToPath(new URL("../../docs/hosting.md", import.meta.url)), "utf8");
const MODULES = ["mpm_event", "authz_core", "dir", "mime", "filter", "deflate", "headers", "rewrite"];

/** The settings of one server as the docs have them, with what a test must put in place of a site's own. */
function settings(language, replacements) {
  let text = new RegExp(`\`\`\`${language}\n([^]*?)\n\`\`\``).exec(DOCS)?.[1];
  if (!text) throw new Error(`docs/hosting.md has no settings for ${language}`);
  for (const [from, to] of replacements) {
    if (!text.includes(from)) throw new Error(`the settings for ${language} have no "${from}"`);
    text = text.replaceAll(from, to);
  }
  return `${text}\n`;
}

const SERVERS = {
  nginx: (place, port) => ({
    program: "nginx",
    options: (file) => ["-c", file, "-e", join(place, "nginx.log")],
    text: `daemon off;
pid ${place}/nginx.pid;
${userInfo().uid === 0 ? "user root;" : ""}
events {}
http {
include /etc/nginx/mime.types;
access_log off;
${["client_body", "proxy", "fastcgi", "uwsgi", "scgi"].map((name) => `${name}_temp_path ${place}/${name};`).join("\n")}
${settings("nginx", [["listen 443 ssl http2;", `listen 127.0.0.1:${port};`], ["/srv/carryover", `${place}/served`]])}}
`,
  }),
  Apache: (place, port) => ({
    program: "apache2",
    options: (file) => ["-f", file, "-DFOREGROUND"],
    text: `ServerRoot ${place}
ServerName 127.0.0.1
PidFile ${place}/apache.pid
ErrorLog ${place}/apache.log
Listen 127.0.0.1:${port}
TypesConfig /etc/mime.types
DirectoryIndex index.html
${userInfo().uid === 0 ? "User www-data\nGroup www-data" : ""}
${MODULES.map((name) => `LoadModule ${name}_module /usr/lib/apache2/modules/mod_${name}.so`).join("\n")}
${settings("apache", [["<VirtualHost *:443>", `<VirtualHost 127.0.0.1:${port}>`], ["SSLEngine on", ""], ["/srv/carryover", `${place}/served`]])}`,
  }),
  Caddy: (place, port) => ({
    program: "caddy",
    options: (file) => ["run", "--config", file, "--adapter", "caddyfile"],
    text: `{
	admin off
}
${settings("caddyfile", [["carryover.example.org {", `http://:${port} {`], ["/srv/carryover", `${place}/served`]])}`,
  }),
};

/** Starts them all; each as a kind of host, and how to stop them. */
export async function startServers() {
  const running = [];
  const kinds = {};
  const stop = () => running.forEach(({ server, place }) => {
    server.kill();
    rmSync(place, { recursive: true, force: true });
  });
  process.on("exit", stop);
  for (const [name, setUp] of Object.entries(SERVERS)) {
    const place = mkdtempSync(join(tmpdir(), "carryover-host-"));
    // A server that was started by root lets another user read the files.
    chmodSync(place, 0o755);
    const port = await freePort();
    const { program, options, text } = setUp(place, port);
    const file = join(place, "settings");
    writeFileSync(file, text);
    const path = findProgram([program], [`/usr/sbin/${program}`]);
    if (!path) throw new Error(`there is no ${program}`);
    const server = spawn(path, options(file), { stdio: ["ignore", "ignore", "pipe"], env: { ...process.env, HOME: place } });
    let said = "";
    server.stderr.on("data", (data) => (said += data));
    running.push({ server, place });
    await isListening(server, port).catch(() => {
      throw new Error(`${name} did not start\n${said}`);
    });
    kinds[name] = { port, show: (folder) => show(place, folder) };
  }
  return { kinds, stop };
}

/** Lets a server have a build, from one request to the next. */
function show(place, folder) {
  const own = join(place, basename(folder));
  if (!existsSync(own)) cpSync(folder, own, { recursive: true });
  symlinkSync(own, join(place, "new"));
  renameSync(join(place, "new"), join(place, "served"));
}

async function freePort() {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = server.address();
  server.close();
  await once(server, "close");
  return port;
}

/** Waits until a port answers, or the server has ended. */
async function isListening(server, port) {
  for (;;) {
    if (server.exitCode !== null) throw new Error("it ended");
    const socket = connect(port, "127.0.0.1");
    const isThere = await new Promise((done) => {
      socket.once("connect", () => done(true));
      socket.once("error", () => done(false));
    });
    socket.destroy();
    if (isThere) return;
    await new Promise((next) => setImmediate(next));
  }
}
