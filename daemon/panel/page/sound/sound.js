// Sound on this device, if somebody switches it on: a browser plays nothing before that.
import { byId } from "../words/html.js";
import { heardOf } from "./heard.js";
import { speaker } from "./speaker.js";

const SILENCE = { horn: false, motor: 0, seating: false };

export function sound() {
    let playing = null;
    let before = null;
    byId("sound").addEventListener("change", ({ target }) => {
        playing?.end();
        playing = target.checked ? speaker(new AudioContext()) : null;
        if (before) {
            playing?.hear(heardOf(null, before));
        }
    });
    byId("sound").checked = false; // a browser may keep it from before, but not the right to play
    return {
        hear(state) {
            playing?.hear(heardOf(before, state));
            before = state;
        },
        // The state is not known, or another bridge's: what was heard may be long over.
        silence() {
            before = null;
            playing?.hear(SILENCE);
        },
    };
}
