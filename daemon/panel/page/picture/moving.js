// What moves in the picture: leaf, deck, bracing, counterweights, rack, ropes and wheels.
import { circle, group, line, list, set, shape } from "./svg.js";

const LEAST_WHEEL = 5; // picture units, to be seen at all

function repeated(parent, count, name, className) {
    const made = Array.from({ length: count }, () => shape(name, { class: className }));
    parent.append(...made);
    return made;
}

function wheel(parent, className) {
    const rim = shape("circle", { class: `wheel ${className}` });
    const spoke = shape("line", { class: "spoke" });
    parent.append(rim, spoke);
    return { rim, spoke };
}

function turnWheel({ rim, spoke }, { at, radius, angle }, fit) {
    const [x, y] = fit.at(at);
    const r = Math.max(LEAST_WHEEL, radius * fit.scale);
    const [dx, dy] = [r * Math.cos(angle), -r * Math.sin(angle)];
    set(rim, circle([x, y], r));
    set(spoke, line([x - dx, y - dy], [x + dx, y + dy]));
}

/** For one bridge and size; `place(pose)` moves all of it. */
export function moving(fit, first) {
    const back = group("moving-back");
    const body = group("moving");
    const segments = repeated(back, (first.segments ?? []).length, "polygon", "segment");
    const arcs = repeated(back, (first.arcs ?? []).length, "polyline", "teeth");
    const bars = (first.bars ?? []).map((bar) => back.appendChild(shape("line", { class: bar.what })));
    const leaf = body.appendChild(shape("polygon", { class: "leaf" }));
    const braces = repeated(body, first.bracing.length, "line", "brace");
    const weights = repeated(body, first.weights.length, "polygon", "counterweight");
    const wheels = (first.wheels ?? []).map((one) => wheel(body, one.what.replace(" ", "-")));
    const axis = first.axis && !(first.wheels ?? []).some((one) => one.what === "pivot")
        ? body.appendChild(shape("circle", { class: "axis" })) : null;
    return {
        back,
        body,
        place(pose) {
            const points = (some) => list(some.map(fit.at));
            set(leaf, { points: points(pose.leaf) });
            segments.forEach((element, i) => set(element, { points: points(pose.segments[i]) }));
            arcs.forEach((element, i) => set(element, { points: points(pose.arcs[i].points) }));
            bars.forEach((element, i) => set(element, line(fit.at(pose.bars[i].from), fit.at(pose.bars[i].to))));
            braces.forEach((element, i) => set(element, line(...pose.bracing[i].map(fit.at))));
            weights.forEach((element, i) => set(element, { points: points(pose.weights[i]) }));
            wheels.forEach((one, i) => turnWheel(one, pose.wheels[i], fit));
            if (axis) {
                set(axis, circle(fit.at(pose.axis), LEAST_WHEEL));
            }
        },
    };
}
