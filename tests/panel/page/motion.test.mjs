// Carrying the span on between reports, and no farther than it may.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { CARRY_MS, carried, eased, placeOf } = await pageModule("live/motion.js");
const report = { place: 0.5, speed: 0.1, at_ms: 1000 };
const near = (found, wanted) => assert.ok(Math.abs(found - wanted) < 1e-9, `${found} is not ${wanted}`);

test("between reports the span goes on as fast as it went", () => {
    near(carried(report, 1000, 1), 0.5);
    near(carried(report, 1100, 1), 0.51);
    near(carried({ ...report, speed: -0.1 }, 1200, 1), 0.48);
    near(carried(report, 1100, 10), 0.6);
});

test("never farther than 0.3 s beyond the newest report, nor before it", () => {
    assert.equal(CARRY_MS, 300);
    near(carried(report, 1300, 1), 0.53);
    near(carried(report, 60000, 1), 0.53);
    near(carried(report, 500, 1), 0.5);
});

test("it is not carried through its ends, and overtravel stays where it was reported", () => {
    near(carried({ place: 0.99, speed: 1, at_ms: 0 }, 300, 1), 1.05);
    near(carried({ place: 0.01, speed: -1, at_ms: 0 }, 300, 1), -0.05);
    near(carried({ place: 1.2, speed: 0, at_ms: 0 }, 300, 1), 1.2);
    near(carried({ place: -0.2, speed: 0, at_ms: 0 }, 300, 1), -0.2);
});

test("a small correction is walked, a large one taken at once", () => {
    assert.equal(eased(null, 0.4, 16), 0.4);
    assert.equal(eased(0.1, 0.9, 16), 0.9);
    const step = eased(0.5, 0.51, 16);
    assert.ok(step > 0.5 && step < 0.51);
    near(eased(0.5, 0.51, 10000), 0.51);
});

test("without a reading the contacts tell the ends, and nothing tells the rest", () => {
    assert.equal(placeOf({ position: 0.3, contacts: { seated: "on" } }), 0.3);
    assert.equal(placeOf({ position: null, contacts: { seated: "on", open: "off" } }), 0);
    assert.equal(placeOf({ position: null, contacts: { seated: "off", open: "on" } }), 1);
    assert.equal(placeOf({ position: null, contacts: { seated: "off", open: "off" } }), null);
    assert.equal(placeOf({ position: null, contacts: { seated: "unknown" } }), null);
});
