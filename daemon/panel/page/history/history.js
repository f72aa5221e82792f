// Openings, faults and service out of the record, and the plots that the daemon draws.
import { byId, element } from "../words/html.js";
import { dayWords, lengthWords, round, sentence } from "../words/words.js";

const FIRST_ROWS = 12;

function table(caption, heads, rows) {
    const body = element("tbody", {}, ...rows.map((cells) => element("tr", {}, ...cells.map((cell, i) =>
        element(i === 0 ? "th" : "td", { scope: i === 0 ? "row" : null }, cell)))));
    return element("div", { className: "table", tabindex: "0", role: "region", "aria-label": caption },
        element("table", {}, element("caption", { words: caption }),
            element("thead", {}, element("tr", {}, ...heads.map((words) => element("th", { scope: "col", words })))), body));
}

const NONE = "\u2013";
const amperes = (a) => (a == null ? NONE : `${round(a, 2)} A`);

function tookWords({ outcome, asked_ms, ended_ms }) {
    return ended_ms != null ? lengthWords((ended_ms - asked_ms) / 1000) : outcome === "under-way" ? "in progress" : NONE;
}

function openingCells(one, onPlot) {
    const number = element("button", { type: "button", className: "button link-button", words: String(one.number), "aria-label": `Plot of opening ${one.number}` });
    number.addEventListener("click", () => onPlot(one.number));
    return [number, dayWords(one.asked_ms, Date.now()), tookWords(one), one.outcome.replace("-", " "), one.trains > 0 ? `${one.trains}, ${lengthWords(one.trains_s)}` : "none",
            amperes(one.most_a), one.who ?? ""];
}

function serviceWords({ openings, openings_most, moved_h, moved_most_h }) {
    const of = (most) => (most == null ? "" : ` of ${most}`);
    return `Since the last service: ${openings}${of(openings_most)} openings, the lift ran ${moved_h.toFixed(1)}${of(moved_most_h)} h.`;
}

function picture(bridge, file, words) {
    return element("figure", { className: "server-plot" },
        element("img", { src: `/plots/${bridge.bus}/${file}?at=${Date.now()}`, alt: words, loading: "lazy" }), element("figcaption", { words }));
}

function more(words, ...children) {
    return element("details", {}, element("summary", { words }), ...children);
}

// Loaded when somebody opens it, and again each time.
function onDemand(words, make) {
    const place = element("div", { className: "server-plots" });
    const all = more(words, place);
    all.addEventListener("toggle", () => place.replaceChildren(...(all.open ? make() : [])));
    return all;
}

function drawn(bridge, told) {
    const place = element("div", { className: "server-plots", "aria-live": "polite" });
    const onPlot = (number) => place.replaceChildren(picture(bridge, `opening-${number}.svg`, `Opening ${number}: position and current over time`));
    const rows = told.openings.map((one) => openingCells(one, onPlot));
    const heads = ["No.", "requested", "took", "outcome", "trains", "peak", "by"];
    const parts = [rows.length === 0 ? element("p", { words: "No openings yet." }) : table("Openings, newest first", heads, rows.slice(0, FIRST_ROWS)), place];
    if (rows.length > FIRST_ROWS) {
        parts.push(more(`${rows.length - FIRST_ROWS} older openings`, table("Older openings", heads, rows.slice(FIRST_ROWS))));
    }
    const faults = told.faults.map((one) => [dayWords(one.at_ms, Date.now()), one.name, sentence(one.words)]);
    parts.push(faults.length === 0 ? element("p", { words: "No faults." }) : table("Faults, newest first", ["at", "name", "what"], faults));
    if (told.service && bridge.has.lift) {
        parts.push(element("p", { words: serviceWords(told.service) }));
    }
    return parts;
}

async function load(bridge) {
    const answer = await fetch(`/history?bus=${bridge.bus}`, { cache: "no-store" });
    if (!answer.ok) {
        throw new Error((await answer.json()).error);
    }
    return answer.json();
}

/** `refresh()` when an opening or a fault has come or gone. */
export function history(bridge) {
    const place = byId("history");
    const list = element("div", {});
    let isEnded = false;
    place.replaceChildren(element("h2", { words: "History" }), list);
    if (bridge.is_recorded) {
        place.append(onDemand("Trend", () => [picture(bridge, "trend.svg", "Delays and currents over all recorded openings")]));
    }
    async function refresh() {
        if (isEnded) {
            return;
        }
        if (!bridge.is_recorded) {
            list.replaceChildren(element("p", { words: "This bridge keeps no record (\u201crecord\u201d in its configuration)." }));
            return;
        }
        const parts = await load(bridge).then((told) => drawn(bridge, told),
            (problem) => [element("p", { words: `The history is not available: ${problem.message}` })]);
        if (!isEnded) {
            list.replaceChildren(...parts);
        }
    }
    return { refresh, end: () => { isEnded = true; } };
}

const SIZING = [
    ["leaf.svg", "The span in its room, seated to open"],
    ["torque.svg", "Torque over the opening"],
    ["current.svg", "Current over the opening"],
    ["speed.svg", "Speed over the opening"],
];

export function sizingPlots(bridge) {
    const place = byId("drawings");
    place.hidden = !bridge.has_sizing;
    if (bridge.has_sizing) {
        place.replaceChildren(element("h2", { words: "Calculated" }),
            onDemand("Sizing plots", () => SIZING.map(([file, words]) => picture(bridge, file, words))));
    }
}
