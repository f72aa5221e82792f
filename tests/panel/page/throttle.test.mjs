// The hand at the slider: what is asked, in which order, and when nothing is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { grip, pushed } = await pageModule("controls/throttle.js");
const GRANTED = { granted: true, isAnswered: true, words: "granted" };
const OVER = { granted: false, isAnswered: true, words: "over" };
const LOST = { granted: false, isAnswered: false, words: "no answer" };
const UP = { way: 1, share: 0.5 };
const DOWN = { way: -1, share: 0.5 };
const REST = { way: 0, share: 0 };

// A daemon that answers when the test says so.
function stage() {
    const asked = [];
    const waiting = [];
    const told = [];
    const ask = (bus, what, share) => {
        asked.push(share == null ? what : `${what} ${share}`);
        return what === "let go" ? Promise.resolve(GRANTED) : new Promise((resolve) => waiting.push(resolve));
    };
    const hand = grip(1, ask, (what) => told.push(what));
    return {
        hand, told,
        async answer(words = GRANTED) {
            waiting.shift()(words);
            await new Promise((resolve) => setImmediate(resolve));
        },
        asked: () => asked.splice(0),
    };
}

test("the middle is rest, and the ends are all that the throttle sets", () => {
    assert.deepEqual(pushed(0, 0.05), REST);
    assert.deepEqual(pushed(0.1, 0.05), REST);
    assert.deepEqual(pushed(-0.1, 0.05), REST);
    assert.deepEqual(pushed(1, 0.05), { way: 1, share: 1 });
    assert.deepEqual(pushed(-3, 0.05), { way: -1, share: 1 });
    const least = pushed(0.1001, 0.05);
    assert.ok(least.way === 1 && least.share >= 0.05 && least.share < 0.06, `${least.share}`);
});

test("it begins once, then holds on with what the hand sets by then", async () => {
    const one = stage();
    one.hand.push(UP);
    one.hand.refresh();
    assert.deepEqual(one.asked(), ["throttle up 0.5"], "one question at a time");
    await one.answer();
    one.hand.refresh();
    assert.deepEqual(one.asked(), ["throttle hold 0.5"]);
    await one.answer();
    one.hand.push({ way: 1, share: 0.75 });
    assert.deepEqual(one.asked(), ["throttle hold 0.75"], "at once");
});

test("letting go is asked at once, and once more behind a question that it may have overtaken", async () => {
    const one = stage();
    one.hand.push(UP);
    one.hand.push(REST);
    assert.deepEqual(one.asked(), ["throttle up 0.5", "let go"]);
    await one.answer();
    assert.deepEqual(one.asked(), ["let go"]);
    one.hand.refresh();
    assert.deepEqual(one.asked(), []);
    assert.equal(one.hand.isRunning, false);
});

test("turned round it lets go, and begins anew the other way", async () => {
    const one = stage();
    one.hand.push(UP);
    await one.answer();
    one.asked();
    one.hand.push(DOWN);
    assert.deepEqual(one.asked(), ["let go", "throttle down 0.5"]);
});

test("a run that is over, stopped or refused begins no other before the hand was at rest", async () => {
    for (const isBegun of [true, false]) {
        const one = stage();
        one.hand.push(UP);
        if (isBegun) {
            await one.answer();
            one.hand.refresh();
        }
        await one.answer(OVER);
        one.asked();
        one.hand.refresh();
        one.hand.push({ way: 1, share: 1 });
        one.hand.refresh();
        assert.deepEqual(one.asked(), []);
        assert.equal(one.told.at(-1), isBegun ? "throttle hold" : "throttle up");
        one.hand.push(REST);
        assert.deepEqual(one.asked(), []);
        one.hand.push(UP);
        assert.deepEqual(one.asked(), ["throttle up 0.5"]);
    }
});

test("a question without an answer lets go", async () => {
    const one = stage();
    one.hand.push(UP);
    await one.answer();
    one.hand.refresh();
    one.asked();
    await one.answer(LOST);
    assert.deepEqual(one.asked(), ["let go"]);
    one.hand.refresh();
    assert.deepEqual(one.asked(), []);
});
