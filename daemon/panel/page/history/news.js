// What happened lately, newest first, each with its time.
import { byId, element } from "../words/html.js";
import { clockWords, sentence } from "../words/words.js";

const KEPT = 12;
const KINDS = { refused: "refused", fault: "fault", train: "train", asked: "asked", stopped: "stopped" };

/** Each bridge's news; what the server tells again after a break comes only once: it knows how. */
export function news() {
    const items = new Map();
    let shown = null;

    function item({ at_ms, kind, words }) {
        const time = element("time", { datetime: new Date(at_ms).toISOString(), words: clockWords(at_ms) });
        return element("li", { className: `news-item is-${KINDS[kind] ?? "other"}` }, time,
            element("span", { className: "news-kind", words: KINDS[kind] ?? kind }), element("span", { words: sentence(words) }));
    }

    function draw() {
        const all = (items.get(shown) ?? []).map(item);
        byId("news").replaceChildren(...(all.length > 0 ? all : [element("li", { words: "Nothing yet." })]));
    }

    return {
        take(one) {
            const all = items.get(one.bus) ?? [];
            items.set(one.bus, [one, ...all].slice(0, KEPT));
            if (one.bus === shown) {
                draw();
            }
        },
        show(bus) {
            shown = bus;
            draw();
        },
    };
}
