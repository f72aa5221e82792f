// The panel by https, through the proxy whose example stands in config/service.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { createServer } from "node:net";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { build, source } from "./support/places.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const TOKEN = "kettle-narrows-tablet-7";
const NGINX = "/usr/sbin/nginx";

let browser;
let daemon;
let proxy;

async function freePort() {
    const server = createServer().listen(0, "127.0.0.1");
    await once(server, "listening");
    const { port } = server.address();
    server.close();
    return port;
}

// The example as it stands, on other ports, with a certificate of this test.
async function startProxy(folder, panelPort) {
    const port = await freePort();
    const key = join(folder, "key.pem");
    const certificate = join(folder, "certificate.pem");
    execFileSync("openssl", ["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost",
                             "-addext", "subjectAltName=DNS:localhost", "-keyout", key, "-out", certificate], { stdio: "ignore" });
    const server = readFileSync(join(source, "config/service/panel-tls.conf"), "utf8")
        .replaceAll("listen 4343 ssl", `listen 127.0.0.1:${port} ssl`)
        .replaceAll("127.0.0.1:4380", `127.0.0.1:${panelPort}`)
        .replaceAll("/etc/ssl/certs/bridge.pem", certificate)
        .replaceAll("/etc/ssl/private/bridge.key", key);
    const file = join(folder, "nginx.conf");
    writeFileSync(file, `daemon off; pid ${folder}/nginx.pid; error_log stderr; user root;
events {}
http { access_log off; client_body_temp_path ${folder}/b; proxy_temp_path ${folder}/p; fastcgi_temp_path ${folder}/f;
uwsgi_temp_path ${folder}/u; scgi_temp_path ${folder}/s;
${server} }\n`);
    proxy = spawn(NGINX, ["-c", file, "-p", folder], { stdio: ["ignore", "ignore", "pipe"] });
    const said = [];
    proxy.stderr.on("data", (data) => said.push(data));
    for (;;) {
        try {
            await fetch(`http://127.0.0.1:${port}/`); // in the clear: refused, but by the proxy
            return port;
        } catch {
            if (proxy.exitCode !== null) {
                throw new Error(`nginx ended:\n${said.join("")}`);
            }
            await new Promise((resolve) => setTimeout(resolve, 20));
        }
    }
}

before(async () => {
    browser = await startBrowser();
});
after(async () => {
    if (proxy && proxy.exitCode === null) {
        const ended = once(proxy, "exit");
        proxy.kill("SIGTERM");
        await ended;
    }
    await daemon?.stop();
    await browser?.close();
});

test("through the example's proxy the token buys a cookie for https alone, and the bridge opens", async () => {
    const file = join(build, `tls-token-${process.pid}`);
    writeFileSync(file, `${TOKEN}\n`, { mode: 0o600 });
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")], panel: { "token file": file, "tls proxy": true } });
    const port = await startProxy(daemon.folder, new URL(daemon.url).port);
    const one = await tablet(browser, `https://localhost:${port}/`, { insecure: true, expected: /status of 401/ });
    await one.page.waitForSelector("#entry:not([hidden])");
    await one.page.fill("#token", TOKEN);
    await one.page.keyboard.press("Enter");
    await one.live();
    const cookies = await one.page.context().cookies();
    assert.deepEqual(cookies.map(({ secure, httpOnly, sameSite }) => ({ secure, httpOnly, sameSite })),
                     [{ secure: true, httpOnly: true, sameSite: "Strict" }]);
    await one.press("raise");
    await one.phase("Open for the river");
    await one.close();
});

test("a page that came in the clear, past the proxy, moves nothing", async () => {
    const answer = await fetch(new URL("/enter", daemon.url), {
        method: "POST", body: JSON.stringify({ token: TOKEN }),
        headers: { "Content-Type": "application/json", Origin: daemon.url.slice(0, -1) },
    });
    assert.equal(answer.status, 403);
});
