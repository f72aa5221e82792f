// A swing span, seen from above: it turns about its pivot, y to the left of the toe's direction.
import { bounds, turned } from "./point.js";
import { outlineOf, weightOf } from "./span.js";

/** `travel` in radians, `part` of it. */
export function swingPose(bridge, travel, part) {
    const angle = travel * part;
    const outline = outlineOf(bridge.leaf);
    const box = bounds(outline);
    const weight = weightOf(bridge.leaf);
    const all = (points) => points.map((point) => turned(point, angle));
    return {
        leaf: all(outline),
        deck: all([[box.left, 0], [box.right, 0]]),
        bracing: [],
        weights: weight ? [all(weight)] : [],
        axis: [0, 0],
        wheels: [{ what: "pivot", at: [0, 0], radius: bridge.lift.rack_radius_m ?? 0.08 * (box.right - box.left), angle }],
    };
}
