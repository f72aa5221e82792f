// The emergency stop: always there, at once on touch, and tried again until somebody answers.
import { ask } from "./asking.js";
import { byId, say } from "../words/html.js";

const TRIES_MS = 10000;
const PAUSE_MS = 400;

async function send(bridge) {
    const place = byId("emergency-answer");
    const button = byId("emergency");
    const until = Date.now() + TRIES_MS;
    button.classList.add("is-asking");
    say(place, `Emergency stop of ${bridge.name}: sending\u2026`);
    let answer = await ask(bridge.bus, "emergency stop");
    while (!answer.isAnswered && Date.now() < until) {
        say(place, `No answer yet. Use the hard-wired stop of ${bridge.name}.`);
        await new Promise((resume) => setTimeout(resume, PAUSE_MS));
        answer = await ask(bridge.bus, "emergency stop");
    }
    button.classList.remove("is-asking");
    button.classList.toggle("is-refused", !answer.granted);
    say(place, answer.granted ? `Emergency stop of ${bridge.name}: ${answer.words}`
                              : `Not stopped: ${answer.words}. Use the hard-wired stop of ${bridge.name}.`);
}

/** `shown()`: the bridge on the page, or null. */
export function emergency(shown) {
    const button = byId("emergency");
    const sending = new Set(); // buses; another bridge's stop does not wait for this one's
    async function press() {
        const bridge = shown();
        if (sending.has(bridge?.bus)) {
            return;
        }
        if (!bridge) {
            say(byId("emergency-answer"), "Not connected to a bridge yet. Use the hard-wired stop.");
            return;
        }
        sending.add(bridge.bus);
        await send(bridge);
        sending.delete(bridge.bus);
    }
    // A finger counts when it comes down, not when it leaves; keys and assistive tools only click.
    button.addEventListener("pointerdown", press);
    button.addEventListener("click", (event) => event.detail === 0 && press());
    return {
        // Who would press it in need must know before that it stops nothing.
        deafen() {
            button.classList.add("is-deaf");
            say(byId("emergency-caution"), "This panel may only observe and cannot stop anything: use the hard-wired stop.");
        },
        name(bridge) {
            say(byId("emergency-bridge"), bridge.name);
            say(byId("emergency-answer"), "");
            button.classList.remove("is-refused");
        },
    };
}
