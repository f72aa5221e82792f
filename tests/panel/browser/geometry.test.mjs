// The page's geometry beside the daemon's own: the same bridges as `drawtender reckon` draws them.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { KINDS, quiet, startDaemon } from "./support/daemon.mjs";
import { pageModule } from "./support/places.mjs";

const { pose } = await pageModule("picture/lifts.js");
const TOLERANCE = 0.02; // of the drawing's units: it is written to 0.01

let daemon;
let bridges;
before(async () => {
    daemon = await startDaemon({ bridges: Object.keys(KINDS).map(quiet) });
    ({ bridges } = await (await daemon.get("/bridges")).json());
});
after(() => daemon?.stop());

const numbers = (path) => path.match(/-?[\d.]+,? ?-?[\d.]+/g).map((pair) => pair.split(" ").map(Number));

// Metres to the drawing's units, out of the two corners that are farthest apart.
function scaleOf(seated, drawn) {
    const xs = seated.map(([x]) => x);
    const [near, far] = [xs.indexOf(Math.min(...xs)), xs.indexOf(Math.max(...xs))];
    const scale = (drawn[far][0] - drawn[near][0]) / (xs[far] - xs[near]);
    return ([x, y]) => [drawn[near][0] + (x - xs[near]) * scale, drawn[near][1] - (y - seated[near][1]) * scale];
}

function assertNear(found, wanted, what) {
    assert.equal(found.length, wanted.length, what);
    found.forEach(([x, y], i) => {
        assert.ok(Math.hypot(x - wanted[i][0], y - wanted[i][1]) < TOLERANCE, `${what}, corner ${i}: ${[x, y]} is not ${wanted[i]}`);
    });
}

for (const name of Object.keys(KINDS).filter((one) => one !== "Garden Gate")) {
    test(`${name}: corners lie where the sizing draws them, seated, on the way and open`, async () => {
        const bridge = bridges.find((one) => one.name === name);
        const drawing = await (await daemon.get(`/plots/${bridge.bus}/leaf.svg`)).text();
        const outlines = [...drawing.matchAll(/<path d="(M[^"]*Z)"/g)].map((found) => numbers(found[1]));
        assert.ok(outlines.length >= 4, "and behind the leaf's, those of a counterweight of its own");
        const onPaper = scaleOf(pose(bridge, 0).leaf, outlines[0]);
        outlines.slice(0, 4).forEach((outline, stage) => {
            assertNear(pose(bridge, stage / 3).leaf.map(onPaper), outline, `stage ${stage} of 3`);
        });
    });
}

test("Kettle Narrows: the rack runs from the strut's pin through its pinion, seated and open", async () => {
    const bridge = bridges.find((one) => one.name === "Kettle Narrows");
    const drawing = await (await daemon.get(`/plots/${bridge.bus}/leaf.svg`)).text();
    const outline = numbers(/<path d="(M[^"]*Z)"/.exec(drawing)[1]);
    const racks = [...drawing.matchAll(/<path d="(M[^"]*)" stroke="#000" stroke-width="1.2"/g)].map((found) => numbers(found[1]));
    const onPaper = scaleOf(pose(bridge, 0).leaf, outline);
    assert.equal(racks.length, 2);
    [0, 1].forEach((part, i) => {
        const { bars: [rack], wheels: [pinion] } = pose(bridge, part);
        const [drawnPinion, drawnPin] = racks[i];
        assertNear([onPaper(pinion.at), onPaper(rack.from)], [drawnPinion, drawnPin], `at ${part}`);
        const side = (rack.to[0] - rack.from[0]) * (pinion.at[1] - rack.from[1]) - (rack.to[1] - rack.from[1]) * (pinion.at[0] - rack.from[0]);
        assert.ok(Math.abs(side) < 1e-9, "the pinion lies on the rack");
    });
});
