// A vertical lift: the span hangs level on ropes over sheaves; its counterweights go down as it goes up.
import { bounds, corners, moved } from "./point.js";
import { bracing, outlineOf, railHeight } from "./span.js";

/** Where sheaves and towers are. No configuration tells: as high as the lift needs. */
export function towers(bridge, travel_m) {
    const box = bounds(outlineOf(bridge.leaf));
    const width = box.right - box.left;
    const room = bridge.room ?? {};
    const ceiling = room.ceiling_m == null || room.axis_height_m == null ? Infinity : room.ceiling_m - room.axis_height_m;
    const sheave = 0.05 * width;
    return {
        box,
        sheave,
        top: Math.min(box.high + travel_m + 3 * sheave, ceiling - 2 * sheave),
        out: 0.03 * width, // rope to span, rope to tower
    };
}

function side(bridge, travel_m, height, sign) {
    const { box, sheave, top, out } = towers(bridge, travel_m);
    const edge = sign < 0 ? box.left : box.right;
    const near = edge + sign * out;
    const far = near + sign * 2 * sheave;
    const drop = top - 2.2 * sheave - height;
    const weight = { left: far - 0.8 * sheave, right: far + 0.8 * sheave, low: drop - 2.6 * sheave, high: drop };
    return {
        weight: corners(weight),
        ropes: [{ what: "rope", from: [near, top], to: [near, box.high + height] },
                { what: "rope", from: [far, top], to: [far, drop] },
                { what: "hanger", from: [near, box.high + height], to: [edge - sign * 0.1 * (box.right - box.left), box.high + height] }],
        wheel: { what: "sheave", at: [(near + far) / 2, top], radius: sheave, angle: -sign * height / sheave },
    };
}

/** `travel` in metres, `part` of it. */
export function verticalPose(bridge, travel, part) {
    const height = travel * part;
    const outline = outlineOf(bridge.leaf);
    const box = bounds(outline);
    const deck = railHeight(outline);
    const all = (points) => points.map((point) => moved(point, [0, height]));
    const sides = [side(bridge, travel, height, -1), side(bridge, travel, height, 1)];
    return {
        leaf: all(outline),
        deck: all([[box.left, deck], [box.right, deck]]),
        bracing: bracing(outline, box.left, box.right).map(all),
        weights: bridge.leaf?.counterweight ? sides.map((s) => s.weight) : [],
        bars: sides.flatMap((s) => s.ropes),
        wheels: sides.map((s) => s.wheel),
    };
}
