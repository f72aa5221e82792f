// Telling a live picture from an old one: words, grey and hatching, and since when.
import { byId, say } from "./html.js";
import { clockWords, lengthWords } from "./words.js";

const TICK_MS = 1000;

/** `since_ms`: when the last event came, on this tablet's clock; null: none yet. */
export function lostWords(since_ms) {
    return since_ms == null ? "No connection to the bridge's daemon."
                            : `No connection since ${clockWords(since_ms)}. What you see is old.`;
}

export function ageWords(since_ms, now_ms) {
    return since_ms == null ? "" : `${lengthWords((now_ms - since_ms) / 1000)} old`;
}

export function lostSign() {
    let timer = null;

    function show(isLost, words) {
        clearInterval(timer);
        document.documentElement.classList.toggle("is-lost", isLost);
        document.documentElement.classList.toggle("is-live", !isLost);
        byId("lost").hidden = !isLost;
        say(byId("link-words"), words);
    }

    return {
        down(since_ms) {
            // The age ticks apart from the alert, or a screen reader would speak every second.
            const tick = () => say(byId("lost-age"), ageWords(since_ms, Date.now()));
            show(true, "no connection");
            say(byId("lost-words"), lostWords(since_ms));
            tick();
            timer = setInterval(tick, TICK_MS);
        },
        up() {
            show(false, "live");
            say(byId("lost-words"), "");
        },
    };
}
