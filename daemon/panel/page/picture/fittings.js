// Span lock and river lights in the picture.
import { lamp } from "./lamps.js";
import { group, set, shape, text } from "./svg.js";
import { lockWords } from "../words/words.js";

const BAR = 34; // picture units, as all below
const LAMP = 24;
const WORDS = 130; // room for the longest
const ROOMY_REM = 32.5; // a picture narrower for its letters leaves the words to the page below it

// Beside `x`, on the side that has room.
function beside(x, y, width) {
    return x + WORDS < width ? text([x, y], "", "label", "start") : text([width - 6, y], "", "label", "end");
}

function lockBar([x, y], has, width, below) {
    const bar = shape("rect", { y: y - 5, width: BAR, height: 10, rx: 2, class: "lock-bar" });
    const words = beside(x + 8, y + below, width);
    return {
        element: group("lock", shape("rect", { x: x + 12, y: y - 9, width: 22, height: 18, rx: 3, class: "lock-house" }), bar, words),
        show(lock) {
            const isLocked = lock.locked === "on";
            const isWithdrawn = !isLocked && (lock.withdrawn === "on" || (lock.withdrawn === "absent" && lock.locked === "off"));
            set(bar, { x: x + (isLocked ? -18 : isWithdrawn ? 10 : -4) });
            bar.classList.toggle("is-unproved", !isLocked && !isWithdrawn);
            words.textContent = `lock ${lockWords(lock, has)}`;
        },
    };
}

function riverLight([x, y]) {
    const head = lamp([x, y], LAMP, "river-light");
    const words = text([x + LAMP, y + 5], "", "label", "start");
    return {
        element: group("river", shape("line", { x1: x - LAMP, x2: x, y1: y, y2: y, class: "mast" }), head.element, words),
        show(river) {
            head.show({ isGo: river === "green", isFlashing: river === "red flashing" });
            words.textContent = `river ${river === "green" ? "green" : "red"}`;
        },
    };
}

// On the pier's face, between deck and water; from above at the near shore.
function riverPlace(fit, scene, height) {
    if (scene.isFromAbove) {
        return [fit.at([scene.gap[0], 0])[0] + 0.9 * LAMP, height - LAMP];
    }
    const [x, deck] = fit.at([0, scene.deck]);
    const [, water] = fit.at([0, scene.water]);
    return [scene.towers ? fit.at([scene.gap[0], 0])[0] + 1.2 * LAMP : x + 1.6 * LAMP, (deck + 2 * water) / 3 - LAMP / 4];
}

export function fittings(fit, scene, bridge, width, height) {
    const [x, deck] = fit.at([scene.gap[1], scene.deck]);
    const isNarrow = width < ROOMY_REM * parseFloat(getComputedStyle(document.documentElement).fontSize);
    const parts = [];
    const lock = bridge.has.lock ? lockBar([x, scene.isFromAbove ? deck - Math.max(26, 0.6 * scene.half * fit.scale) : deck + 16], bridge.has, width, scene.isFromAbove ? -16 : 28) : null;
    const river = riverLight(riverPlace(fit, scene, height));
    parts.push(river.element);
    if (lock) {
        parts.push(lock.element);
    }
    return {
        element: group(isNarrow ? "fittings is-narrow" : "fittings", ...parts),
        show(state) {
            river.show(state.river);
            lock?.show(state.lock);
        },
    };
}
