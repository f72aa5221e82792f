// A rolling bascule: the leaf rolls back on a segment about its roll centre, which stays level.
import { arc, moved, turned } from "./point.js";
import { bracing, outlineOf, railHeight, weightOf } from "./span.js";

const DOWN = -Math.PI / 2;

/** Where a point of the leaf is: from the roll centre's place when seated. */
export function rolled(point, radius, angle) {
    return moved(turned(point, angle), [-radius * angle, 0]);
}

/** `travel` in radians, `part` of it. */
export function rollingPose(bridge, travel, part) {
    const angle = travel * part;
    const radius = bridge.lift.rolling?.radius_m ?? 0;
    const outline = outlineOf(bridge.leaf);
    const toe = Math.max(...outline.map(([x]) => x));
    const deck = railHeight(outline);
    const weight = weightOf(bridge.leaf);
    const all = (points) => points.map((point) => rolled(point, radius, angle));
    return {
        leaf: all(outline),
        deck: all([[0, deck], [toe, deck]]),
        bracing: bracing(outline, 0, toe).map(all),
        weights: weight ? [all(weight)] : [],
        axis: rolled([0, 0], radius, angle),
        // What is at the bottom when seated rolls to the front: the segment lies behind it.
        segments: [all([[0, 0], ...arc([0, 0], radius, DOWN - travel - 0.15, DOWN + 0.15)])],
        wheels: [{ what: "roll centre", at: rolled([0, 0], radius, angle), radius: 0, angle }],
    };
}

/** The level girder that the segment rolls on. */
export function rollingBed(bridge, travel) {
    const radius = bridge.lift.rolling?.radius_m ?? 0;
    return [[-radius * (travel + 0.3), -radius], [0.3 * radius, -radius]];
}
