// The tracks in words: a row for each, from end to end, with its sections and home signals.
import { element, say } from "./html.js";
import { lamp } from "../picture/lamps.js";
import { shape } from "../picture/svg.js";
import { approachWords, sectionWords } from "./words.js";

function section(name, className) {
    const says = element("span", { className: "section-says" });
    const cell = element("li", { className: `section ${className}` },
        element("span", { className: "section-name", words: name }),
        element("span", { className: "section-bar", "aria-hidden": "true" }), says);
    return {
        cell,
        show({ powered, occupied, words }) {
            cell.classList.toggle("is-powered", powered);
            cell.classList.toggle("is-dead", !powered);
            cell.classList.toggle("is-occupied", occupied === true);
            say(says, words);
        },
    };
}

function home(name) {
    const picture = shape("svg", { viewBox: "-13 -13 26 26", class: "signal-picture", "aria-hidden": "true" });
    const head = lamp([0, 0], 22, "signal");
    picture.append(head.element);
    const says = element("span", { className: "section-says" });
    return {
        cell: element("li", { className: "home-signal" },
            element("span", { className: "unseen", words: name }), picture, says),
        show(end) {
            const isProved = end.signal === "proceed" || end.signal_proved === "on" || end.signal_proved === "absent";
            head.show({ isGo: end.signal === "proceed", isProved });
            say(says, isProved ? end.signal : `${end.signal}, not proved`);
        },
    };
}

function endParts(has, i) {
    const parts = {
        approach: section(`${has.name} approach`, "approach"),
        signal: home(`${has.name} home signal`),
        stop: section("stop section", "stop"),
    };
    const cells = [parts.approach.cell, parts.signal.cell, parts.stop.cell];
    return {
        cells: i === 0 ? cells : cells.reverse(),
        show(end) {
            parts.approach.show({ powered: true, occupied: end.approach, words: approachWords(end, has) });
            parts.signal.show(end);
            parts.stop.show({ ...end.stop, words: sectionWords(end.stop) });
        },
    };
}

function row(track) {
    const span = section("span", "on-span");
    const ends = track.ends.map((has, i) => (has ? endParts(has, i) : null));
    return {
        element: element("section", { className: "track", "aria-label": `Track ${track.name}` },
            element("h3", { words: track.name }),
            element("ol", { className: "sections" }, ...(ends[0]?.cells ?? []), span.cell, ...(ends[1]?.cells ?? []))),
        show(state) {
            span.show({ ...state.span, words: sectionWords(state.span) });
            ends.forEach((end, i) => end && state.ends[i] && end.show(state.ends[i]));
        },
    };
}

/** Into the element `place`, for one bridge. */
export function trackRows(place, bridge) {
    const rows = bridge.tracks.map(row);
    place.replaceChildren(...rows.map((one) => one.element));
    return { show: (state) => rows.forEach((one, i) => one.show(state.tracks[i])) };
}
