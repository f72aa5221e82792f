// How far behind a slow link is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { lagOf } = await pageModule("live/lag.js");

test("a report as prompt as any lies not behind; one that queued does", () => {
    const lag = lagOf();
    assert.equal(lag(5000, 120), 0);
    assert.ok(lag(6000, 1130) <= 10);
    assert.ok(Math.abs(lag(7000, 6120) - 4000) < 1);
    assert.ok(lag(8000, 3120) < 1, "it caught up");
});

test("clocks that drift apart by a part in ten thousand never lie behind", () => {
    const lag = lagOf();
    for (let s = 0; s < 1e5; s++) {
        assert.ok(lag(1000 * s, 1000.1 * s) < 1);
    }
});

test("a tablet whose clock slept is not behind for it", () => {
    const lag = lagOf();
    lag(5000, 5000);
    assert.equal(lag(65000, 6000), 0);
});
