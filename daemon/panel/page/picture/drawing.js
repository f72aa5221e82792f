// The picture of one bridge: laid out for the size it has, shown by its state, moved with its span.
import { fittings } from "./fittings.js";
import { pose } from "./lifts.js";
import { moving } from "./moving.js";
import { rails } from "./rails.js";
import { fitted, sceneOf } from "./scene.js";
import { group, set } from "./svg.js";
import { shores, surroundings } from "./surroundings.js";

/** Draws into the element `svg`. `place(part)`: null where nobody knows it. */
export function drawing(svg, bridge) {
    let layers = null;
    let state = null;
    let part = null;

    function layOut() {
        const { width, height } = svg.getBoundingClientRect();
        if (width < 1 || height < 1) {
            return;
        }
        const scene = sceneOf(bridge, width / height);
        const fit = fitted(scene.view, width, height);
        const seated = pose(bridge, 0);
        layers = { moving: moving(fit, seated), rails: rails(fit, scene, bridge), fittings: fittings(fit, scene, bridge, width, height) };
        set(svg, { viewBox: `0 0 ${width} ${height}` });
        svg.replaceChildren(
            scene.isFromAbove ? shores(fit, scene, width, height) : surroundings(fit, scene, seated, width, height),
            layers.rails.still,
            group("span", layers.moving.back, layers.moving.body, layers.rails.span),
            layers.fittings.element);
        showPlace();
        showState();
    }

    // A span nobody knows the place of is drawn half open, and looks like a ghost.
    function showPlace() {
        if (layers) {
            const shown = pose(bridge, part ?? 0.5);
            layers.moving.place(shown);
            layers.rails.place(shown);
            svg.classList.toggle("is-place-unknown", part == null);
        }
    }

    function showState() {
        if (layers && state) {
            layers.rails.show(state);
            layers.fittings.show(state);
        }
    }

    const sizes = new ResizeObserver(layOut);
    sizes.observe(svg);
    layOut();
    return {
        show(newest) {
            state = newest;
            showState();
        },
        place(newPart) {
            if (newPart !== part) {
                part = newPart;
                showPlace();
            }
        },
        end() {
            sizes.disconnect();
            svg.replaceChildren();
        },
    };
}
