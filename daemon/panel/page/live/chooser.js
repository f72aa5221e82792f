// Which of several bridges the page shows. It stands in the address, so that a tablet comes back to it.
import { byId, element, say } from "../words/html.js";
import { phaseWords } from "../words/words.js";

export function chooser(bridges, onChoice) {
    const nav = byId("chooser");
    const buttons = bridges.map((bridge) => {
        const phase = element("span", { className: "chooser-phase" });
        const button = element("button", { type: "button", className: "button chooser-button" },
            element("span", { words: bridge.name }), phase);
        button.addEventListener("click", () => {
            location.hash = `bus=${bridge.bus}`;
        });
        return { bridge, button, phase };
    });
    nav.hidden = bridges.length < 2;
    byId("title").classList.toggle("unseen", bridges.length > 1); // the chosen button says it
    nav.replaceChildren(...buttons.map(({ button }) => button));

    function choose() {
        const bus = Number(/bus=(\d+)/.exec(location.hash)?.[1]);
        const bridge = bridges.find((one) => one.bus === bus) ?? bridges[0];
        buttons.forEach((one) => one.button.setAttribute("aria-current", one.bridge === bridge ? "true" : "false"));
        buttons.find((one) => one.bridge === bridge).button.scrollIntoView({ block: "nearest", inline: "center" });
        onChoice(bridge);
    }
    addEventListener("hashchange", choose);
    choose();
    return {
        show(state) {
            const one = buttons.find(({ bridge }) => bridge.bus === state.bus);
            one?.button.classList.toggle("is-fault", state.fault != null);
            if (one) {
                say(one.phase, phaseWords(one.bridge, state.phase));
            }
        },
        end: () => removeEventListener("hashchange", choose),
    };
}
