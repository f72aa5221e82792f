// The real daemon with simulated bridges, for as long as a test wants it.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { build, drawtenderd, source } from "./places.mjs";

export const KINDS = {
    "Kettle Narrows": "config/kettle-narrows.json",
    "Garden Gate": "config/garden-gate.json",
    "Harbor Lift": "config/harbor-lift.json",
    "Mill Swing": "config/mill-swing.json",
    "Ferry Lane": "tests/panel/browser/sector.json",
    "Lock Cut": "tests/panel/browser/rolling.json",
};

/** One of the examples as an object, to be changed by the test. */
export function bridgeOf(name) {
    return JSON.parse(readFileSync(join(source, KINDS[name]), "utf8")).bridges[0];
}

/** The same without trains and faults that come by themselves. */
export function quiet(name) {
    const bridge = bridgeOf(name);
    bridge.simulation = { ...bridge.simulation, trains: [], faults: [] };
    return bridge;
}

function configurationIn(folder, bridges, panel) {
    const file = join(folder, "bridges.json");
    writeFileSync(file, JSON.stringify({
        server: {
            listeners: [{ address: "127.0.0.1", port: 4303, may: "administer" }],
            panels: [{ address: "127.0.0.1", port: 4380, may: "operate", ...panel }],
        },
        record: { file: join(folder, "record.db") },
        bridges: bridges.map((bridge, i) => ({ ...bridge, bus: i + 1 })),
    }));
    return file;
}

// The port that it says it has, or why it has none.
async function portOf(process_) {
    const said = [];
    for await (const line of createInterface({ input: process_.stderr })) {
        said.push(line);
        const port = /panel on http:\/\/127\.0\.0\.1:(\d+)\//.exec(line)?.[1];
        if (port) {
            process_.stderr.resume();
            return Number(port);
        }
    }
    throw new Error(`drawtenderd ended:\n${said.join("\n")}`);
}

/** `panel` adds to the panel's settings. */
export async function startDaemon({ bridges, pace = 10, panel = {} }) {
    mkdirSync(build, { recursive: true });
    const folder = mkdtempSync(join(build, "daemon-"));
    let file = configurationIn(folder, bridges, panel);
    let port = 0;
    let running = null;

    async function start() {
        running = spawn(drawtenderd, ["--config", file, "--pace", String(pace), "--port", "0", "--panel-port", String(port)],
                        { stdio: ["ignore", "ignore", "pipe"] });
        port = await portOf(running);
    }

    async function end(signal) {
        if (running.exitCode === null && running.signalCode === null) {
            const ended = once(running, "exit");
            running.kill("SIGCONT");
            running.kill(signal);
            await ended;
        }
    }

    await start();
    return {
        folder,
        url: `http://127.0.0.1:${port}/`,
        // On the same port; with other bridges where some are given.
        async again(others) {
            file = others ? configurationIn(folder, others, panel) : file;
            await start();
        },
        kill: () => end("SIGKILL"),
        freeze: () => running.kill("SIGSTOP"),
        thaw: () => running.kill("SIGCONT"),
        get: async (path) => fetch(`http://127.0.0.1:${port}${path}`),
        async stop() {
            await end("SIGTERM");
            rmSync(folder, { recursive: true });
        },
    };
}
