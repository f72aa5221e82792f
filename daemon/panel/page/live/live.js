// The live connection: events as they come, tried again when it ends, and given up when it goes silent.
// Read with fetch, not with EventSource: that hides a 401, cannot be told to resume after a connection
// that hangs, and in some browsers gives up for good when the server is away.
// A page that nobody sees has no connection: browsers have six for all their windows together.
import { eventStream } from "./event_stream.js";
import { lagOf } from "./lag.js";

export const SILENT_MS = 3000; // `alive` comes every second
const FIRST_RETRY_MS = 250;
const LONGEST_RETRY_MS = 2000;

/** `on`: state, news, alive (what the server tells), up(), down(), unauthorised(). */
export function live(on) {
    let lastId = null;
    let heard = null; // last: when, on the bridge's clock as in all other words, and on the tablet's
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

    // What comes after a silence lay in a buffer while the tablet slept: nobody knows how old it is.
    function checkAge(event, told, lag) {
        const behind_ms = event === "alive" ? lag(Number(told.moment.split("-")[1]), performance.now()) : 0;
        if (Math.max(silence_ms(), behind_ms) > SILENT_MS) {
            throw new Error("out of date");
        }
    }

    function take({ id, event, data }, lag) {
        const told = JSON.parse(data);
        checkAge(event, told, lag);
        if (event !== "news") { // whose time is that of what it tells
            heard = { at_ms: told.at_ms, own_ms: Date.now() };
        }
        begin();
        lastId = id ?? lastId;
        retry_ms = FIRST_RETRY_MS;
        if (!isUp && event === "state") { // until then the picture is that of before
            isUp = true;
            on.up();
        }
        on[event]?.(told);
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
            throw new Error(`the server answered ${answer.status}`);
        }
        const lag = lagOf();
        const events = eventStream((one) => take(one, lag));
        const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
        for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
            events.push(piece.value);
        }
    }

    function lose() {
        if (isUp !== false && !isStopped) {
            isUp = false;
            on.down(heard);
        }
    }

    function seen() {
        return new Promise((resume) => {
            const look = () => {
                if (!document.hidden) {
                    document.removeEventListener("visibilitychange", look);
                    resume();
                }
            };
            document.addEventListener("visibilitychange", look);
            look();
        });
    }

    async function run() {
        while (!isStopped) {
            await seen();
            await readOnce().catch(() => {}); // whatever it was: it is tried again
            drop();
            await new Promise((resume) => setTimeout(resume, retry_ms));
            retry_ms = Math.min(2 * retry_ms, LONGEST_RETRY_MS);
        }
    }

    function drop() {
        lose();
        current?.abort();
    }

    function watch() {
        if (document.hidden || silence_ms() > SILENT_MS) {
            drop();
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
    return { stop, drop };
}
