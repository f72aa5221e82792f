// Short facts under the picture: lock, river lights, motor, horn, openings; and every contact.
import { element, say } from "./html.js";
import { linkWords, lockWords, riverWords, round } from "./words.js";

function rows(bridge) {
    const { has } = bridge;
    return [
        has.lock && ["Lock", (state) => lockWords(state.lock, has)],
        ["River lights", (state) => riverWords(state.river)],
        has.current && ["Motor", (state) => (state.current_a == null ? "no reading" : `${round(state.current_a, 2)} A`)],
        has.horn && ["Horn", (state) => (state.horn ? "sounds" : "silent")],
        has.lcc && ["LCC", (state) => linkWords(state.lcc_links)],
        ["Openings", (state) => String(state.openings)],
    ].filter(Boolean);
}

export function facts(place, bridge) {
    const all = rows(bridge).map(([name, words]) => ({ words, value: element("dd"), name: element("dt", { words: name }) }));
    place.replaceChildren(element("dl", {}, ...all.map(({ name, value }) => element("div", { className: "fact" }, name, value))));
    return { show: (state) => all.forEach(({ words, value }) => say(value, words(state))) };
}

/** The contacts that the bridge has: made, not made, or unknown. */
export function contacts(place, bridge) {
    const all = bridge.contacts.map((name) => ({ name, item: element("li", { className: "contact" }), says: element("span") }));
    all.forEach(({ name, item, says }) => item.append(element("span", { className: "contact-mark", "aria-hidden": "true" }), `${name}: `, says));
    place.replaceChildren(...all.map(({ item }) => item));
    return {
        show: (state) => all.forEach(({ name, item, says }) => {
            const reading = state.contacts[name] ?? "unknown";
            item.classList.toggle("is-on", reading === "on");
            item.classList.toggle("is-unknown", reading === "unknown");
            say(says, { on: "made", off: "not made" }[reading] ?? "no reading");
        }),
    };
}
