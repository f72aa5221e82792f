// The five lifts and the gate lifted by hand: which geometry is whose, and the part of the travel drawn.
import { rollingPose } from "./rolling.js";
import { swingPose } from "./swing.js";
import { turningPose } from "./turning.js";
import { verticalPose } from "./vertical.js";

const POSES = {
    sector: turningPose,
    strut: turningPose,
    hand: turningPose,
    rolling: rollingPose,
    vertical: verticalPose,
    swing: swingPose,
};
const HAND_TRAVEL = Math.PI / 2; // where none is given: drawn upright when open

/** In radians, of a vertical lift in metres. */
export function travelOf({ lift }) {
    if (lift.travel == null) {
        return HAND_TRAVEL;
    }
    return lift.unit === "mm" ? lift.travel / 1000 : lift.travel * Math.PI / 180;
}

export function isFromAbove({ lift }) {
    return lift.kind === "swing";
}

/** The bridge's parts, in metres, at `part` of its travel: 0 seated, 1 open. */
export function pose(bridge, part) {
    return POSES[bridge.lift.kind](bridge, travelOf(bridge), part);
}

/** Every point of a pose: what a picture must have room for. */
export function pointsOf(shape) {
    return [
        ...shape.leaf,
        ...shape.weights.flat(),
        ...(shape.segments ?? []).flat(),
        ...(shape.arcs ?? []).flatMap((a) => a.points),
        ...(shape.bars ?? []).flatMap((bar) => [bar.from, bar.to]),
        ...(shape.wheels ?? []).flatMap(({ at: [x, y], radius: r }) => [[x - r, y - r], [x + r, y + r]]),
    ];
}
