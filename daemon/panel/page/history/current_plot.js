// The motor's current over the span's place, on top of what it should be at most. Drawn here and not by
// a charting library: the line turns back on itself in x, which the small ones cannot do, and eighty
// lines of SVG are less than any of them.
import { line, list, set, shape, text } from "../picture/svg.js";

const LEFT = 46;
const RIGHT = 14;
const TOP = 12;
const BOTTOM = 38;

/** A round step that gives at most `most` marks over `range`. */
export function roundStep(range, most) {
    const rough = range / most;
    const power = 10 ** Math.floor(Math.log10(rough));
    return power * [1, 2, 5, 10].find((n) => n * power >= rough * 0.9999);
}

/** The highest value that must fit. */
export function topOf(bridge, ways) {
    const { expected } = bridge;
    const reckoned = expected ? [...expected.up_a, ...expected.down_a].map((a) => a + expected.binding_a) : [];
    const seen = [...ways.up, ...ways.down].map(([, a]) => a);
    return 1.08 * Math.max(0.5, ...reckoned, ...seen);
}

function axes(bridge, at, width, height, top) {
    const parts = [];
    const travel = bridge.lift.travel ?? 1;
    const step = roundStep(travel, Math.max(3, width / 90));
    for (let value = 0; value <= travel * 1.0001; value += step) {
        const [x, y] = at(value / travel, 0);
        parts.push(shape("line", { ...line([x, TOP], [x, y]), class: "grid" }), text([x, y + 16], String(Math.round(value * 100) / 100), "tick"));
    }
    const rise = roundStep(top, 5);
    for (let a = 0; a <= top; a += rise) {
        const [x, y] = at(0, a);
        parts.push(shape("line", { ...line([x, y], [width - RIGHT, y]), class: "grid" }), text([x - 6, y + 4], String(Math.round(a * 100) / 100), "tick", "end"));
    }
    parts.push(text([(LEFT + width - RIGHT) / 2, height - 4], bridge.lift.unit === "mm" ? "height, mm" : "opening, degrees", "tick"),
               text([8, TOP + 4], "A", "tick", "start"));
    return parts;
}

// What is expected on this way: an area up to the most, and the line at which the lift binds.
function band({ expected }, way, at) {
    if (!expected) {
        return [];
    }
    const most = expected[`${way}_a`];
    const places = most.map((a, i) => [i / (most.length - 1), a]);
    const area = [at(0, 0), ...places.map(([p, a]) => at(p, a)), at(1, 0)];
    return [shape("polygon", { points: list(area), class: "expected" }),
            shape("polyline", { points: list(places.map(([p, a]) => at(p, a + expected.binding_a))), class: "binding" })];
}

export function currentPlot(svg, bridge) {
    let newest = null;

    function draw() {
        const { width, height } = svg.getBoundingClientRect();
        if (!newest || width < 1) {
            return;
        }
        const { ways, way } = newest;
        const top = topOf(bridge, ways);
        const at = (place, a) => [LEFT + place * (width - LEFT - RIGHT), height - BOTTOM - a / top * (height - TOP - BOTTOM)];
        const points = (some) => list(some.map(([p, a]) => at(p, a)));
        const shown = way ?? "up";
        const last = way ? ways[way][ways[way].length - 1] : null;
        set(svg, { viewBox: `0 0 ${width} ${height}` });
        svg.replaceChildren(...band(bridge, shown, at), ...axes(bridge, at, width, height, top),
            shape("polyline", { points: points(ways.up), class: "trace way-up" }),
            shape("polyline", { points: points(ways.down), class: "trace way-down" }),
            ...(last ? [shape("circle", { cx: at(...last)[0], cy: at(...last)[1], r: 5, class: "now" })] : []));
    }

    const sizes = new ResizeObserver(draw);
    sizes.observe(svg);
    return {
        show(traces) {
            newest = { ways: traces.ways, way: traces.way };
            draw();
        },
        end() {
            sizes.disconnect();
        },
    };
}

export function legendWords(bridge, way) {
    if (!bridge.expected) {
        return "Solid: latest way up. Dashed: latest way down.";
    }
    return `Solid: latest way up. Dashed: latest way down. Shaded: the most it should draw on the way ${way ?? "up"} once running; starting briefly draws more. Above the dotted line the lift binds.`;
}
