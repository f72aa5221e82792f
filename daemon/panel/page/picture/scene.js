// What stands around the span, and how much of the world the picture shows. Metres, from the axis.
import { isFromAbove, pointsOf, pose, travelOf } from "./lifts.js";
import { bounds } from "./point.js";
import { rollingBed } from "./rolling.js";
import { towers } from "./vertical.js";

const STEPS = 24;

// The room that all parts take over the whole travel.
function sweep(bridge) {
    const points = [];
    for (let i = 0; i <= STEPS; i++) {
        points.push(...pointsOf(pose(bridge, i / STEPS)));
    }
    return bounds(points);
}

// Heights that the configuration gives count from one level: here they count from the axis.
function roomOf({ room }) {
    const from = (height) => (room?.axis_height_m == null || height == null ? null : height - room.axis_height_m);
    return { ceiling: from(room?.ceiling_m), floor: from(room?.floor_m), wall: room?.wall_m == null ? null : -room.wall_m };
}

const LONGEST_STOP = 0.45; // of the span: farther out a home signal would be lost to the eye

// Of each end, from the gap outward: stop section, home signal, approach. The first end of a track is
// drawn at the heel, the second at the toe: no configuration tells.
function ends(gap, back, view) {
    return gap.map((x, i) => {
        const out = i === 0 ? view.left : view.right;
        const from = i === 0 ? back : x; // a tail that reaches back over the land is passed first
        const reach = Math.min(0.44 * Math.abs(out - from), LONGEST_STOP * (gap[1] - gap[0]));
        return { gap: x, signal: from + Math.sign(out - from) * reach, out };
    });
}

// Takes in more of the world on both sides, or above and below, until it has the picture's shape. Open
// sky is better than deep water, but not above a ceiling.
function widened(view, aspect, isOpenAbove) {
    const [width, height] = [view.right - view.left, view.high - view.low];
    const more = Math.max(0, height * aspect - width) / 2;
    const higher = Math.max(0, width / aspect - height);
    return {
        left: view.left - more,
        right: view.right + more,
        low: view.low - (isOpenAbove ? 0 : higher / 2),
        high: view.high + (isOpenAbove ? higher : higher / 2),
    };
}

function fromAbove(bridge, seated, swept, aspect) {
    const [left, right] = [Math.min(...seated.map(([x]) => x)), Math.max(...seated.map(([x]) => x))];
    const length = right - left;
    const half = Math.max(...seated.map(([, y]) => Math.abs(y)));
    const view = widened({
        left: left - 0.42 * length,
        right: right + 0.42 * length,
        low: swept.low - 0.04 * length,
        high: swept.high + 0.04 * length,
    }, aspect, false);
    return {
        isFromAbove: true,
        view,
        deck: 0,
        gap: [left, right],
        half,
        ends: ends([left, right], left, view),
        water: null,
        ceiling: null,
        wall: null,
    };
}

function fromTheSide(bridge, seated, deck, swept, aspect) {
    const room = roomOf(bridge);
    const isVertical = bridge.lift.kind === "vertical";
    const [left, right] = [isVertical ? Math.min(...deck.map(([x]) => x)) : 0, Math.max(...deck.map(([x]) => x))];
    const back = Math.min(left, ...seated.map(([x]) => x));
    const length = right - left;
    const water = room.floor ?? Math.min(swept.low, -0.12 * length) - 0.06 * length;
    const high = Math.max(swept.high, room.ceiling ?? -Infinity, isVertical ? towers(bridge, travelOf(bridge)).top : -Infinity);
    const stub = Math.max(0.5 * length, right + 0.2 * length - back);
    const view = widened({
        left: Math.min(swept.left - 0.05 * length, back - 0.25 * length, left - stub),
        right: Math.max(swept.right + 0.05 * length, right + 0.62 * length),
        low: water - 0.1 * length,
        high: high + 0.05 * length,
    }, aspect, room.ceiling == null);
    return {
        isFromAbove: false,
        view,
        deck: deck[0][1],
        gap: [left, right],
        pit: isVertical ? left : Math.min(swept.left, 0), // the land ends where the tail sweeps
        ends: ends([left, right], back, view),
        water,
        ceiling: room.ceiling,
        wall: room.wall,
        bed: bridge.lift.kind === "rolling" ? rollingBed(bridge, travelOf(bridge)) : null,
        towers: isVertical ? towers(bridge, travelOf(bridge)) : null,
    };
}

/** For a picture of the shape `aspect`: width by height. */
export function sceneOf(bridge, aspect) {
    const seated = pose(bridge, 0);
    const swept = sweep(bridge);
    return isFromAbove(bridge) ? fromAbove(bridge, seated.leaf, swept, aspect)
                               : fromTheSide(bridge, seated.leaf, seated.deck, swept, aspect);
}

/** Metres to picture units: the whole view, to one scale, in the middle of `width` by `height`. */
export function fitted(view, width, height) {
    const scale = Math.min(width / (view.right - view.left), height / (view.high - view.low));
    const x0 = (width - scale * (view.right - view.left)) / 2 - scale * view.left;
    const y0 = (height - scale * (view.high - view.low)) / 2 + scale * view.high;
    return { scale, at: ([x, y]) => [x0 + scale * x, y0 - scale * y] };
}
