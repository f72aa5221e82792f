// Words and numbers as people read them.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const words = await pageModule("words/words.js");
const { ageWords, lostWords } = await pageModule("live/lost.js");
const leaf = { lift: { kind: "strut", travel: 75, unit: "deg" }, has: { position: true } };
const vertical = { lift: { kind: "vertical", travel: 450, unit: "mm" }, has: { position: false } };
const gate = { lift: { kind: "hand", travel: null, unit: "deg" }, has: { position: false } };

test("places have their unit, and say when nothing measures them", () => {
    assert.equal(words.placeWords(leaf, 0.4321), "32.4°");
    assert.equal(words.placeWords(leaf, -0.0001), "0.0°");
    assert.equal(words.placeWords(vertical, 0.5), "about 225 mm");
    assert.equal(words.placeWords(leaf, null), "position unknown");
    assert.deepEqual([0, 0.5, 1].map((place) => words.placeWords(gate, place)), ["seated", "in mid-travel", "open"]);
});

test("links to LCC are counted", () => {
    assert.deepEqual([undefined, 0, 1, 2].map(words.linkWords), ["no link", "no link", "1 link", "2 links"]);
});

test("every phase of the core has words, and other lifts their own", () => {
    const phases = ["unproved", "lined", "clearing", "cutting", "warning", "unlocking", "raising", "open", "lowering",
                    "seating", "locking", "proving", "held", "fault"]; // daemon/core/words/names.c
    phases.forEach((phase) => assert.notEqual(words.phaseWords(leaf, phase), phase));
    assert.equal(words.phaseWords({ lift: { kind: "swing" } }, "raising"), "Swinging open");
    assert.equal(words.phaseWords(gate, "unlocking"), "Unlock by hand");
    assert.equal(words.phaseWords(leaf, "a later phase"), "a later phase");
});

test("the sentence under the phase: fault before wait, keep clear while it moves", () => {
    const fault = { phase: "fault", fault: { words: "the span is past the end of its travel" }, waits_for: "cause" };
    assert.equal(words.waitWords(fault), "The span is past the end of its travel. Fix the cause, then acknowledge.");
    assert.equal(words.waitWords({ phase: "clearing", fault: null, waits_for: "span section to be clear" }), "Waiting for: span section to be clear");
    assert.equal(words.waitWords({ phase: "lowering", fault: null, waits_for: "span to finish moving" }), "The span is moving: keep clear.");
    assert.equal(words.waitWords({ phase: "lined", fault: null, waits_for: null }), "Trains may run.");
});

test("lengths of time", () => {
    assert.deepEqual([0, 9.4, 65, 3599, 7800].map(words.lengthWords), ["0 s", "9 s", "1 min 05 s", "59 min 59 s", "2 h 10 min"]);
});

test("the lock is locked or withdrawn only where a contact says so", () => {
    const has = { lock_drive: true };
    assert.equal(words.lockWords({ drive: "driven", locked: "on", withdrawn: "off" }, has), "locked");
    assert.equal(words.lockWords({ drive: "withdrawn", locked: "off", withdrawn: "on" }, has), "withdrawn");
    assert.equal(words.lockWords({ drive: "withdrawn", locked: "off", withdrawn: "off" }, has), "not proved, being withdrawn");
    assert.equal(words.lockWords({ drive: "rest", locked: "unknown", withdrawn: "unknown" }, has), "not proved");
    assert.equal(words.lockWords({ drive: "rest", locked: "off", withdrawn: "absent" }, {}), "not locked");
});

test("a section without a detector is never called clear", () => {
    assert.equal(words.sectionWords({ powered: true, occupied: null }), "powered");
    assert.equal(words.sectionWords({ powered: false, occupied: true }), "dead, occupied");
    assert.equal(words.approachWords({ approach: null, lock_left_s: 0 }, {}), "not watched");
    assert.equal(words.approachWords({ approach: null, lock_left_s: 0 }, { approach_detector: true }), "no reading");
    assert.equal(words.approachWords({ approach: true, standing: true, lock_left_s: 12.5 }, { approach_detector: true }),
                 "train standing, approach locked 13 s");
});

test("a lost picture says since when on the bridge's clock, and how old it is on the tablet's", () => {
    const at_ms = new Date(2026, 0, 2, 14, 3, 22).getTime();
    const heard = { at_ms, own_ms: at_ms - 86400000 };
    assert.equal(lostWords(heard), "No connection since 14:03:22. What you see is out of date.");
    assert.equal(ageWords(heard, heard.own_ms + 65000), "1 min 05 s old");
    assert.match(lostWords(null), /^No connection/);
    assert.equal(ageWords(null, at_ms), "");
});
