// Signals and lights: the shape tells as well as the colour. A square with a bar: stop. A ring: go.
import { group, set, shape } from "./svg.js";

/** A lamp of the given size about its middle; `show({ isGo, isFlashing, isProved })`. */
export function lamp([x, y], size, className) {
    const half = size / 2;
    const stop = group("lamp-stop",
        shape("rect", { x: x - half, y: y - half, width: size, height: size, rx: size / 8, class: "lamp-body" }),
        shape("rect", { x: x - 0.32 * size, y: y - 0.11 * size, width: 0.64 * size, height: 0.22 * size, class: "lamp-mark" }));
    const go = group("lamp-go",
        shape("circle", { cx: x, cy: y, r: half, class: "lamp-body" }),
        shape("circle", { cx: x, cy: y, r: 0.2 * size, class: "lamp-mark" }));
    const all = group(className, stop, go);
    return {
        element: all,
        show({ isGo, isFlashing = false, isProved = true }) {
            set(stop, { visibility: isGo ? "hidden" : "visible" });
            set(go, { visibility: isGo ? "visible" : "hidden" });
            all.classList.toggle("is-flashing", isFlashing);
            all.classList.toggle("is-unproved", !isProved);
        },
    };
}
