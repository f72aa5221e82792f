// The live connection: events as they come, tried again when it ends, and given up when it goes silent.
// Read with fetch, not with EventSource: that hides a 401, cannot be told to resume after a connection
// that hangs, and in some browsers gives up for good when the server is away.
import { eventStream } from "./event_stream.js";

export const SILENT_MS = 3000; // `alive` comes every second
const FIRST_RETRY_MS = 250;
const LONGEST_RETRY_MS = 2000;

/** `on`: state, news, alive (what the server tells), up(), down(), unauthorised(). */
export function live(on) {
    let lastId = null;
    let heard_ms = null; // on the tablet's clock
    let begun = null; // of the last event or attempt, on both clocks
    let isUp = null; // null: not known yet
    let isStopped = false;
    let retry_ms = FIRST_RETRY_MS;
    let current = null;

    // One clock may sleep with the tablet, the other may be set: whichever says longer is believed.
    function begin() {
        begun = { wall_ms: Date.now(), run_ms: performance.now() };
    }

    function silence_ms() {
        return Math.max(Date.now() - begun.wall_ms, performance.now() - begun.run_ms);
    }

    function take({ id, event, data }) {
        heard_ms = Date.now();
        begin();
        lastId = id ?? lastId;
        retry_ms = FIRST_RETRY_MS;
        if (!isUp) {
            isUp = true;
            on.up();
        }
        on[event]?.(JSON.parse(data));
    }

    async function readOnce() {
        current = new AbortController();
        begin();
        const answer = await fetch("/live", {
            headers: lastId == null ? {} : { "Last-Event-ID": lastId },
            signal: current.signal,
            cache: "no-store",
        });
        if (answer.status === 401) {
            stop();
            on.unauthorised();
            return;
        }
        if (!answer.ok) {
            throw new Error(`the server answers ${answer.status}`);
        }
        const events = eventStream(take);
        const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
        for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
            events.push(piece.value);
        }
    }

    function lose() {
        if (isUp !== false && !isStopped) {
            isUp = false;
            on.down(heard_ms);
        }
    }

    async function run() {
        while (!isStopped) {
            await readOnce().catch(() => {}); // whatever it was: it is tried again
            lose();
            await new Promise((resume) => setTimeout(resume, retry_ms));
            retry_ms = Math.min(2 * retry_ms, LONGEST_RETRY_MS);
        }
    }

    function watch() {
        if (silence_ms() > SILENT_MS) {
            lose();
            current?.abort();
        }
    }

    function stop() {
        isStopped = true;
        clearInterval(timer);
        document.removeEventListener("visibilitychange", watch);
        current?.abort();
    }

    begin();
    const timer = setInterval(watch, 250);
    document.addEventListener("visibilitychange", watch); // timers slept while the page was hidden
    run();
    return { stop };
}
