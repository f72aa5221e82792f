// A train as a picture: an engine and wagons, as many as fit. It stands for "occupied"; its length says nothing.
import { group, shape } from "./svg.js";

const WAGON = 2.4; // lengths in heights
const GAP = 0.3;

function vehicle(x, base, height, isEngine, isFromAbove) {
    const width = WAGON * height;
    if (isFromAbove) {
        return group("vehicle", shape("rect", { x, y: base - height / 2, width, height, rx: height / 5 }));
    }
    const body = isEngine
        ? shape("path", { d: `M${x},${base - 0.25 * height} v${-0.45 * height} h${0.55 * width} v${-0.3 * height} h${0.45 * width} v${0.75 * height} z` })
        : shape("rect", { x, y: base - 0.8 * height, width, height: 0.55 * height, rx: height / 12 });
    const wheels = [0.22, 0.78].map((part) => shape("circle", { cx: x + part * width, cy: base - 0.18 * height, r: 0.18 * height }));
    return group("vehicle", body, ...wheels);
}

/** From `left` to `right` on the rail at `base`, no more than three vehicles, in the middle. */
export function train(left, right, base, height, isFromAbove) {
    const pitch = (WAGON + GAP) * height;
    const count = Math.max(1, Math.min(3, Math.floor((right - left + GAP * height) / pitch)));
    const start = (left + right) / 2 - (count * pitch - GAP * height) / 2;
    const vehicles = [];
    for (let i = 0; i < count; i++) {
        vehicles.push(vehicle(start + i * pitch, base, height, i === 0, isFromAbove));
    }
    return group("train", ...vehicles);
}
