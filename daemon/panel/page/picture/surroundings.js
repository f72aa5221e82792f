// What stands still in the picture: land, water, piers, towers, ceiling and wall.
import { group, line, list, shape, text } from "./svg.js";

const HATCH = 11;

function box(fit, left, right, high, low, className) {
    const [x, y] = fit.at([left, high]);
    const [x2, y2] = fit.at([right, low]);
    return shape("rect", { x, y, width: Math.max(0, x2 - x), height: Math.max(0, y2 - y), class: className });
}

// Short strokes behind an edge: solid is on that side. `dx`, `dy` lead into it.
function hatched([x1, y1], [x2, y2], dx, dy) {
    const length = Math.hypot(x2 - x1, y2 - y1);
    const strokes = [];
    for (let i = HATCH / 2; i < length; i += HATCH) {
        const from = [x1 + (x2 - x1) * i / length, y1 + (y2 - y1) * i / length];
        strokes.push(shape("line", { ...line(from, [from[0] + dx, from[1] + dy]), class: "hatch" }));
    }
    return strokes;
}

function waves(fit, view, water, width) {
    const [, y] = fit.at([0, water]);
    const [, bottom] = fit.at([0, view.low]);
    const rows = [];
    for (let row = 0; y + 14 + 20 * row < bottom - 2; row++) {
        const x = row % 2 === 0 ? 0 : 30;
        const wave = "q7,-5 14,0 t14,0 ";
        rows.push(shape("path", { d: Array.from({ length: Math.ceil(width / 90) }, (_, i) => `M${x + 90 * i},${y + 14 + 20 * row} ${wave}`).join(""), class: "wave" }));
    }
    return rows;
}

function bounded(fit, scene, width) {
    const parts = [];
    if (scene.ceiling != null) {
        const [, y] = fit.at([0, scene.ceiling]);
        parts.push(shape("line", { ...line([0, y], [width, y]), class: "edge" }), ...hatched([0, y], [width, y], 8, -8),
                   text([width - 8, y + 17], "ceiling", "label", "end"));
    }
    if (scene.wall != null && scene.wall > scene.view.left) {
        const [x, y] = fit.at([scene.wall, scene.deck]);
        const [, low] = fit.at([0, scene.water]);
        parts.push(shape("line", { ...line([x, y + 10], [x, low]), class: "edge" }), ...hatched([x, y + 10], [x, low], -8, 8));
    }
    return parts;
}

function tower(fit, scene, sign) {
    const { top, sheave, out, box: span } = scene.towers;
    const rope = (sign < 0 ? span.left : span.right) + sign * out;
    const [near, far] = [rope + sign * 0.4 * sheave, rope + sign * 1.6 * sheave];
    const feet = [near, far].map((x) => [fit.at([x, top]), fit.at([x, scene.water])]);
    const posts = feet.map(([a, b]) => shape("line", { ...line(a, b), class: "post" }));
    const rungs = [];
    for (let y = scene.deck; y < top; y += 3 * sheave) {
        rungs.push(shape("line", { ...line(fit.at([near, y]), fit.at([far, Math.min(y + 3 * sheave, top)])), class: "rung" }));
    }
    return group("tower", ...rungs, ...posts);
}

// A pier narrows upward from the water to what it carries.
function pier(fit, x, top, half, water) {
    const points = [[x - half, top], [x + half, top], [x + 1.6 * half, water], [x - 1.6 * half, water]];
    return shape("polygon", { points: list(points.map(fit.at)), class: "pier" });
}

function supports(fit, scene, shape0) {
    const length = scene.gap[1] - scene.gap[0];
    if (scene.towers) {
        return [tower(fit, scene, -1), tower(fit, scene, 1)];
    }
    if (scene.bed) {
        const [[x1, y], [x2]] = scene.bed;
        return [pier(fit, (x1 + x2) / 2, y, (x2 - x1) / 2.4, scene.water),
                shape("line", { ...line(fit.at([x1, y]), fit.at([x2, y])), class: "bed" })];
    }
    const pinion = (shape0.wheels ?? []).find((wheel) => wheel.what === "pinion");
    const parts = [pier(fit, 0, 0, 0.03 * length, scene.water)];
    if (pinion) {
        const [x, y] = pinion.at;
        const foot = [x, Math.min(y, scene.deck)];
        parts.unshift(shape("line", { ...line(fit.at([0, 0]), fit.at([x, y])), class: "post" }),
                      shape("line", { ...line(fit.at([x, y]), fit.at([foot[0], scene.water])), class: "post" }));
    }
    return parts;
}

function land(fit, scene, width) {
    const { view, gap, deck, water } = scene;
    const edge = 0.02 * (gap[1] - gap[0]);
    const slab = (left, right) => box(fit, left, right, deck - 0.3 * edge, deck - 2 * edge, "slab");
    const [heel, toe] = [scene.pit - 2 * edge, gap[1] + edge];
    const far = [fit.at([view.left, 0])[0] > 0 ? view.left - 9 : view.left, view.right + 9];
    return [
        box(fit, far[0], heel, deck - 0.3 * edge, view.low - 9, "land"),
        box(fit, toe, far[1], deck - 0.3 * edge, view.low - 9, "land"),
        slab(far[0], gap[0]),
        slab(gap[1] + edge, far[1]),
        shape("line", { ...line(fit.at([0, water]).map((v, i) => (i === 0 ? 0 : v)), [width, fit.at([0, water])[1]]), class: "shore" }),
    ];
}

/** Seen from the side. `seated`: the pose at the seat. */
export function surroundings(fit, scene, seated, width, height) {
    const [, y] = fit.at([0, scene.water]);
    return group("surroundings",
        shape("rect", { x: 0, y, width, height: Math.max(0, height - y), class: "water" }),
        ...waves(fit, scene.view, scene.water, width),
        ...land(fit, scene, width),
        ...supports(fit, scene, seated),
        ...bounded(fit, scene, width));
}

/** Seen from above: water between two shores, a fender about the pivot. */
export function shores(fit, scene, width, height) {
    const edge = 0.012 * (scene.gap[1] - scene.gap[0]);
    const [left] = fit.at([scene.gap[0] - edge, 0]);
    const [right] = fit.at([scene.gap[1] + edge, 0]);
    const rows = [];
    for (let y = 30, row = 0; y < height; y += 44, row++) {
        rows.push(shape("path", { d: Array.from({ length: Math.ceil(width / 90) }, (_, i) => `M${(row % 2) * 45 + 90 * i},${y} q7,-5 14,0 t14,0`).join(""), class: "wave" }));
    }
    return group("surroundings",
        shape("rect", { x: 0, y: 0, width, height, class: "water" }),
        ...rows,
        shape("rect", { x: -9, y: -9, width: Math.max(0, left + 9), height: height + 18, class: "land" }),
        shape("rect", { x: right, y: -9, width: Math.max(0, width - right + 9), height: height + 18, class: "land" }));
}
