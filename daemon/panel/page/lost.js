// Telling a live picture from an old one: words, grey and hatching, and since when.
import { byId, say } from "./html.js";
import { clockWords, lengthWords } from "./words.js";

/** `since_ms`: when the last event came, on this tablet's clock; null: none yet. */
export function lostWords(since_ms, now_ms) {
    if (since_ms == null) {
        return "No connection to the bridge's daemon.";
    }
    return `No connection since ${clockWords(since_ms)} (${lengthWords((now_ms - since_ms) / 1000)}). What you see is old.`;
}

export function lostSign() {
    let since = null;
    let timer = null;
    const tell = () => say(byId("lost"), lostWords(since, Date.now()));
    return {
        down(since_ms) {
            since = since_ms;
            document.documentElement.classList.add("is-lost");
            byId("lost").hidden = false;
            say(byId("link-words"), "no connection");
            tell();
            clearInterval(timer);
            timer = setInterval(tell, 5000); // seldom: a screen reader reads it
        },
        up() {
            clearInterval(timer);
            document.documentElement.classList.remove("is-lost");
            byId("lost").hidden = true;
            say(byId("link-words"), "live");
        },
    };
}
