// A host of one kind with two builds, which puts the one in the other's place before a request of its own
// choosing, and can be out of reach.
import { createServer, request as ask } from "node:http";

export class Host {
  /** `answer` gives what a kind of host answers from a folder; a port is that of a server that does so itself. */
  static async start(answer, build) {
    const host = new Host();
    host.answer = answer;
    host.serve(build);
    host.server = createServer((request, response) => host.#respond(request, response));
    await new Promise((listening) => void host.server.listen(0, "127.0.0.1", () => listening(undefined)));
    host.address = `http://127.0.0.1:${host.server.address().port}`;
    return host;
  }

  serve(build) {
    this.build = build;
    this.next = undefined;
    this.isOutOfReach = false;
    this.answer.show?.(build.folder);
  }

  /** Serves another build from the request on that is the `at`th from now. */
  deploy(build, at) {
    this.next = { build, at };
    this.asked = 0;
  }

  /** Whether the other build has come by now. */
  get isDeployed() {
    return this.next === undefined;
  }

  #respond(request, response) {
    if (this.isOutOfReach) {
      request.socket.destroy();
      return;
    }
    if (this.next) {
      if (this.next.at <= this.asked) this.serve(this.next.build);
      else this.asked += 1;
    }
    if (this.answer.port) {
      const { method, url, headers } = request;
      const asking = ask({ port: this.answer.port, host: "127.0.0.1", method, path: url, headers }, (answer) => {
        response.writeHead(answer.statusCode, answer.headers);
        answer.pipe(response);
      });
      asking.on("error", () => response.destroy());
      request.pipe(asking);
      return;
    }
    const path = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
    const { status, headers, body } = this.answer(this.build.folder, path);
    response.writeHead(status, { ...headers, "Content-Length": body.length });
    response.end(request.method === "HEAD" ? undefined : body);
  }

  stop() {
    this.server.closeAllConnections();
    this.server.close();
  }
}
