// Geometry that has another way to be reckoned, and what is drawn where the configuration is silent.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { pointsOf, pose, travelOf } = await pageModule("picture/lifts.js");
const { distance } = await pageModule("picture/point.js");
const { bracing, outlineOf, railHeight, weightOf } = await pageModule("picture/span.js");
const { fitted, sceneOf } = await pageModule("picture/scene.js");
const { merged } = await pageModule("picture/tracks.js");
const { roundStep, topOf } = await pageModule("history/current_plot.js");
const { traces } = await pageModule("history/traces.js");

const tracks = [{ ends: [{}, {}] }];
const KINDS = [
    { lift: { kind: "sector", travel: 80, unit: "deg", rack_radius_m: 0.3 } },
    { lift: { kind: "strut", travel: 75, unit: "deg", strut: { pin: [0.42, 0.26], pinion: [-0.63, 0.49], pinion_radius_m: 0.006 } } },
    { lift: { kind: "rolling", travel: 70, unit: "deg", rolling: { radius_m: 0.45 } } },
    { lift: { kind: "vertical", travel: 450, unit: "mm" } },
    { lift: { kind: "swing", travel: 90, unit: "deg", rack_radius_m: 0.2 } },
    { lift: { kind: "hand", travel: null, unit: "deg" } },
];

test("the strut's length follows the law of cosines", () => {
    const bridge = KINDS[1];
    const { pin, pinion } = bridge.lift.strut;
    const [a, b] = [Math.hypot(...pin), Math.hypot(...pinion)];
    const included = Math.atan2(pinion[1], pinion[0]) - Math.atan2(pin[1], pin[0]);
    for (const part of [0, 0.25, 0.5, 1]) {
        const wanted = Math.sqrt(a * a + b * b - 2 * a * b * Math.cos(included - part * travelOf(bridge)));
        const { bars: [rack] } = pose(bridge, part);
        assert.ok(Math.abs(distance(rack.from, pinion) - wanted) < 1e-12);
        assert.ok(distance(rack.from, rack.to) > wanted, "the rack reaches its pinion");
    }
});

test("a rolling leaf does not slip: the segment meets its girder one arc's length farther back", () => {
    const bridge = KINDS[2];
    const radius = bridge.lift.rolling.radius_m;
    for (const part of [0, 0.5, 1]) {
        const { axis, segments: [segment] } = pose(bridge, part);
        const arcPoints = segment.slice(1);
        const lowest = Math.min(...arcPoints.map(([, y]) => y));
        assert.ok(Math.abs(lowest + radius) < 0.002, "the segment rests on it");
        assert.ok(Math.abs(axis[0] + radius * part * travelOf(bridge)) < 1e-12);
        assert.equal(axis[1], 0);
    }
});

test("a vertical lift's rope keeps its length", () => {
    const bridge = { ...KINDS[3], leaf: { outline: null, counterweight: { at: [0, 0] }, toe_m: 1.2 } };
    const length = (part) => pose(bridge, part).bars.filter(({ what }) => what === "rope")
        .reduce((sum, { from, to }) => sum + distance(from, to), 0);
    assert.ok(Math.abs(length(0) - length(1)) < 1e-9);
});

test("every kind is drawn where the configuration gives no leaf and no room", () => {
    for (const bridge of KINDS) {
        for (const part of [-0.05, 0, 0.5, 1, 1.05]) {
            const points = pointsOf(pose({ ...bridge, leaf: null, room: null }, part));
            assert.ok(points.length > 3 && points.flat().every(Number.isFinite), bridge.lift.kind);
        }
    }
});

test("the picture has room for the whole travel, in any shape", () => {
    for (const bridge of KINDS) {
        for (const [width, height] of [[336, 210], [900, 300], [300, 900]]) {
            const whole = { ...bridge, leaf: null, room: null, tracks };
            const { view } = sceneOf(whole, width / height);
            const { at } = fitted(view, width, height);
            for (let i = 0; i <= 10; i++) {
                for (const [x, y] of pointsOf(pose(whole, i / 10)).map(at)) {
                    assert.ok(x > -1 && x < width + 1 && y > -1 && y < height + 1, `${bridge.lift.kind} at ${i / 10}: ${x}, ${y}`);
                }
            }
        }
    }
});

test("rails lie at the toe, bracing between deck and top, the counterweight where its corners say", () => {
    const leaf = {
        outline: [["toe", 2, 0.04], ["top", 2, 0.4], ["top", 0, 0.4], ["Counterweight, a", -0.9, 0.1], ["counterweight, b", -0.9, -0.1],
                  ["counterweight, c", -0.6, -0.1], ["toe, under", 2, -0.04]].map(([what, x, y]) => ({ what, at: [x, y] })),
        counterweight: { at: [-0.8, 0] },
    };
    const outline = outlineOf(leaf);
    assert.equal(railHeight(outline), 0.4);
    assert.deepEqual(weightOf(leaf), [[-0.9, -0.1], [-0.6, -0.1], [-0.6, 0.1], [-0.9, 0.1]]);
    const slim = [[2, 0.04], [0, 0.04], [0, -0.04], [2, -0.04]];
    assert.deepEqual(bracing(slim, 0, 2), [], "a plain beam has none");
    const through = [[2, 0.04], [1.9, 0.5], [0, 0.5], [0, -0.04], [2, -0.04]];
    assert.equal(railHeight(through), 0.04);
    bracing(through, 0, 2).flat().forEach(([x, y]) => assert.ok(x >= 0 && x <= 2 && y >= 0.04 && y <= 0.5 + 1e-9));
});

test("one line for several tracks tells the most restrictive", () => {
    const track = (powered, occupied, approach) => ({ span: { powered, occupied }, ends: [{ approach, stop: { powered, occupied } }, null] });
    assert.deepEqual(merged([track(true, false, false), track(false, true, null)]), {
        span: { powered: false, occupied: true },
        ends: [{ approach: null, stop: { powered: false, occupied: true } }, null],
    });
    assert.equal(merged([track(true, false, false), track(true, null, true)]).span.occupied, null);
});

test("the plot's steps are round and its top leaves room for all", () => {
    assert.deepEqual([[75, 4], [450, 5], [2.3, 5], [0.9, 5]].map(([range, most]) => roundStep(range, most)), [20, 100, 0.5, 0.2]);
    const expected = { up_a: [1, 2], down_a: [1, 1], binding_a: 0.5 };
    assert.ok(topOf({ expected }, { up: [], down: [] }) > 2.5);
    assert.ok(topOf({ expected }, { up: [[0.1, 4]], down: [] }) > 4);
    assert.ok(topOf({ expected: null }, { up: [], down: [] }) > 0);
});

test("a trace begins anew with each way, and goes on after a halt", () => {
    const one = traces();
    const at = (phase, position) => one.take({ phase, position, current_a: 1 });
    at("raising", 0.1);
    at("raising", 0.2);
    at("held", 0.2);
    at("raising", 0.3);
    assert.equal(one.ways.up.length, 3);
    at("open", 1);
    at("lowering", 0.9);
    at("seating", 0.05);
    assert.deepEqual([one.ways.up.length, one.ways.down.length], [3, 2]);
    at("lined", 0);
    at("raising", 0.1);
    assert.deepEqual([one.ways.up.length, one.ways.down.length], [1, 2]);
    assert.equal(one.take({ phase: "raising", position: null, current_a: 1 }), false);
});
