// What guards the bridge: the conditions that a person guards, or that something could be fitted to guard better.
import { element } from "./html.js";

const HOW = { proved: "proved in another way", "by-time": "by time", "by-word": "by a person's word" };

/** A head and what follows it. */
export function guardWords({ how, invariants, condition, rests_on, unseen, better }) {
    const more = [`Rests on: ${rests_on}.`, unseen && `Not seen: ${unseen}.`, better && `Better: ${better}.`];
    return { head: `${condition}: ${HOW[how] ?? how} (${invariants})`, rest: more.filter(Boolean).join(" ") };
}

function item(guard) {
    const { head, rest } = guardWords(guard);
    return element("li", { className: "guard" }, element("strong", { words: head }), `. ${rest}`);
}

export function showGuards(card, place, { guards }) {
    card.hidden = guards.length === 0;
    place.replaceChildren(...guards.map(item));
}
