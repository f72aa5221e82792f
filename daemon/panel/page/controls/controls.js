// The buttons. None is ever dead: who presses one that would be refused is told why.
import { ask } from "./asking.js";
import { byId, element, say } from "../words/html.js";
import { raiseWords, sentence } from "../words/words.js";

const SHOWN_MS = 4000; // how long a button wears its answer

function asks(bridge) {
    const words = raiseWords(bridge);
    return [
        bridge.has.lift && { ask: "raise", words: words.raise, mark: "M4,16 L12,6 L20,16 Z", may: "raise" },
        bridge.has.lift && { ask: "lower", words: words.lower, mark: "M4,8 L12,18 L20,8 Z", may: "lower" },
        !bridge.has.lift && { ask: "raise", words: "Request opening", mark: "M4,16 L12,6 L20,16 Z", may: "raise" },
        !bridge.has.lift && { ask: "lower", words: "Request closing", mark: "M4,8 L12,18 L20,8 Z", may: "lower" },
        { ask: "stop", words: "Stop here", mark: "M5,5 H19 V19 H5 Z" },
        { ask: "acknowledge", words: "Acknowledge", mark: "M4,12 L10,18 L20,6 L17,4 L10,13 L7,9 Z", may: "acknowledge" },
        { ask: "seen clear", words: "Seen clear", mark: "M2,12 C7,4 17,4 22,12 C17,20 7,20 2,12 Z M12,8 A4,4 0 1 0 12,16 A4,4 0 1 0 12,8 Z", may: "seen-clear",
            isWanted: (state) => state.wants_seen_clear, what: "You see the whole span and both stop sections, and no train is there" },
        { ask: "power on", words: "Track power on", isSmall: true },
        { ask: "power off", words: "Track power off", isSmall: true },
        bridge.has.horn && { ask: "horn", words: "Sound horn", isSmall: true },
    ].filter(Boolean);
}

function mark(path) {
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    svg.setAttribute("viewBox", "0 0 24 24");
    svg.setAttribute("class", "button-mark");
    svg.setAttribute("aria-hidden", "true");
    const drawn = document.createElementNS("http://www.w3.org/2000/svg", "path");
    drawn.setAttribute("d", path);
    svg.append(drawn);
    return svg;
}

// A button wears its newest answer for a while.
function wear(button, look) {
    button.classList.remove("is-asking", "is-granted", "is-refused");
    button.classList.add(look);
    clearTimeout(wear.timers.get(button));
    if (look !== "is-asking") {
        wear.timers.set(button, setTimeout(() => button.classList.remove(look), SHOWN_MS));
    }
}
wear.timers = new Map();

let newest = null; // press: an older one's late answer does not cover its own
let phase = null; // of the bridge shown
let isFault = false;
let told = null; // the answer that stands there: the phase in which it was asked for, and since when

function forget() {
    told = null;
    byId("answer").className = "answer";
    say(byId("answer"), "");
}

// An answer is of its moment: what the bridge does since then is in the headline.
function forgetOld() {
    if (told && told.phase !== phase && performance.now() - told.at_ms >= SHOWN_MS) {
        forget();
    }
}

function watchAnswer(state) {
    const isNewFault = state.fault != null && !isFault;
    phase = state.phase;
    isFault = state.fault != null;
    if (isNewFault && told?.isGranted) {
        forget(); // at once: nothing green beside a fault
    }
    forgetOld();
}

async function press(bridge, one, button) {
    const place = byId("answer");
    const own = Symbol();
    const asked = phase;
    newest = own;
    told = null;
    wear(button, "is-asking");
    place.className = "answer is-asking";
    say(place, `${one.words}: sending\u2026`);
    const answer = await ask(bridge.bus, one.ask);
    const look = answer.granted ? "is-granted" : "is-refused";
    wear(button, look);
    if (newest !== own) {
        return;
    }
    place.className = `answer ${look}`;
    const how = answer.granted ? "" : answer.isAnswered ? "refused: " : answer.isSent ? "unconfirmed: " : "not sent: ";
    say(place, `${one.words}: ${how}${answer.words}`);
    told = { phase: asked, isGranted: answer.granted, at_ms: performance.now() };
    setTimeout(forgetOld, SHOWN_MS);
}

function control(bridge, one) {
    const why = one.may ? element("span", { className: "button-why", id: `why-${one.may}` }) : null;
    const button = element("button", { type: "button", className: `button ask ${one.isSmall ? "small" : ""}`, "data-ask": one.ask },
        ...(one.mark ? [mark(one.mark)] : []), element("span", { className: "button-words", words: one.words }), ...(why ? [why] : []));
    button.addEventListener("click", () => press(bridge, one, button));
    return {
        button,
        show(state) {
            button.hidden = one.isWanted ? !one.isWanted(state) : false;
            const reason = one.may ? state.may[one.may] : null;
            button.classList.toggle("is-unlikely", reason != null);
            if (why) {
                say(why, reason ? sentence(reason) : one.what ?? "");
            }
        },
    };
}

/** Builds the buttons of one bridge into the page. */
export function controls(bridge, may) {
    const all = asks(bridge).map((one) => control(bridge, one));
    byId("rights").hidden = may === "operate";
    byId("asks").hidden = may !== "operate";
    byId("asks").replaceChildren(...all.map((one) => one.button));
    newest = phase = null; // whatever another bridge still answers
    isFault = false;
    forget();
    return {
        show(state) {
            all.forEach((one) => one.show(state));
            watchAnswer(state);
        },
    };
}
