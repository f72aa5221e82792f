// Telling a live picture from an old one: words, grey and hatching, and since when.
import { byId, say } from "../words/html.js";
import { clockWords, lengthWords } from "../words/words.js";

const TICK_MS = 1000;

/** `heard`: when the last event came: `at_ms` on the bridge's clock, which news and history have too (a
 * simulation's may be another than the tablet's), `own_ms` on the tablet's; null: none yet. */
export function lostWords(heard) {
    return heard == null ? "No connection to the bridge's daemon."
                         : `No connection since ${clockWords(heard.at_ms)}. What you see is out of date.`;
}

/** On the tablet's clock: the other one cannot be seen now. */
export function ageWords(heard, now_ms) {
    return heard == null ? "" : `${lengthWords((now_ms - heard.own_ms) / 1000)} old`;
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
        down(heard) {
            // The age ticks apart from the alert, or a screen reader would speak every second.
            const tick = () => say(byId("lost-age"), ageWords(heard, Date.now()));
            show(true, "no connection");
            say(byId("lost-words"), lostWords(heard));
            tick();
            timer = setInterval(tick, TICK_MS);
        },
        up() {
            show(false, "live");
            say(byId("lost-words"), "");
        },
    };
}
