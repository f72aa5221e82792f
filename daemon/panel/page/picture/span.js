// What the span is made of as it lies seated, whatever lifts it: outline, deck, bracing, counterweight.
// Where the configuration gives no outline, a plain beam as long as is known stands for it.
import { bounds, corners } from "./point.js";

const GUESSED_LENGTH_M = 1; // a bridge of which nothing is known: only its proportions are drawn

function plainBeam(leaf) {
    const toe = leaf?.toe_m ?? GUESSED_LENGTH_M;
    const half = 0.03 * toe;
    const heel = leaf?.counterweight && leaf.counterweight.at[0] < 0 ? leaf.counterweight.at[0] : 0;
    return [[toe, half], [heel, half], [heel, -half], [toe, -half]];
}

export function outlineOf(leaf) {
    return leaf?.outline?.length > 2 ? leaf.outline.map((corner) => corner.at) : plainBeam(leaf);
}

// Rails lie where the toe meets the land: the highest of the corners that reach farthest.
export function railHeight(outline) {
    const { left, right } = bounds(outline);
    const near = right - 0.01 * (right - left);
    return Math.max(...outline.filter(([x]) => x >= near).map(([, y]) => y));
}

// Heights at which the outline's edges cross the upright at x.
function crossings(outline, x) {
    const found = [];
    outline.forEach(([ax, ay], i) => {
        const [bx, by] = outline[(i + 1) % outline.length];
        if ((ax <= x) !== (bx <= x)) {
            found.push(ay + (by - ay) * (x - ax) / (bx - ax));
        }
    });
    return found;
}

/** Lines between deck and top, as of a truss; none where the span is no higher than its deck. */
export function bracing(outline, from, to) {
    const deck = railHeight(outline);
    const inset = 0.004 * (to - from);
    const top = (x) => Math.max(deck, ...crossings(outline, Math.min(Math.max(x, from + inset), to - inset)));
    const highest = Math.max(...outline.map(([, y]) => y)) - deck;
    if (highest < 0.05 * (to - from)) {
        return [];
    }
    const panels = Math.max(2, 2 * Math.round((to - from) / highest / 2));
    const lines = [];
    for (let i = 0; i < panels; i++) {
        const [a, b] = [i, i + 1].map((n) => from + (to - from) * n / panels);
        lines.push(i % 2 === 0 ? [[a, deck], [b, top(b)]] : [[a, top(a)], [b, deck]]);
        lines.push([[b, deck], [b, top(b)]]);
    }
    return lines;
}

/** The counterweight's corners: those that the outline calls so, or a block of a fitting size. */
export function weightOf(leaf) {
    if (!leaf?.counterweight) {
        return null;
    }
    const named = (leaf.outline ?? []).filter((corner) => /counterweight/i.test(corner.what ?? "")).map((c) => c.at);
    if (named.length > 2) {
        return corners(bounds(named));
    }
    const { left, right } = bounds(outlineOf(leaf));
    const half = 0.04 * (right - left);
    const [x, y] = leaf.counterweight.at;
    return corners({ left: x - half, right: x + half, low: y - half, high: y + half });
}
