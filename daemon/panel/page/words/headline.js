// What the bridge does and what it waits for, in large words over the picture.
import { byId, say } from "./html.js";
import { phaseWords, waitWords } from "./words.js";

/** `state` null: nothing is known yet. */
export function showHeadline(bridge, state, isLost) {
    const headline = byId("headline");
    const phase = state ? phaseWords(bridge, state.phase) : "No data yet";
    headline.classList.toggle("is-fault", state?.fault != null);
    headline.classList.toggle("is-open", state?.phase === "open");
    headline.classList.toggle("is-lined", state?.phase === "lined");
    say(byId("phase"), isLost && state ? `Last seen: ${phase}` : phase);
    say(byId("wait"), state ? waitWords(state) : "Waiting for the bridge's first report.");
    document.title = `${isLost ? "No connection" : phase} \u2013 ${bridge.name}`;
}
