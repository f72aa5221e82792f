// What is heard of a bridge on the tablet: as its states say, and silent where they say nothing.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { heardOf } = await pageModule("sound/heard.js");
const { speaker } = await pageModule("sound/speaker.js");
const seated = { horn: false, effort: 0, contacts: { seated: "on" } };
const off = { horn: false, effort: -0.4, contacts: { seated: "off" } };

test("the horn is heard while it is put out, the motor by its effort either way", () => {
    assert.deepEqual(heardOf(null, { ...seated, horn: true }), { horn: true, motor: 0, seating: false });
    assert.equal(heardOf(null, off).motor, 0.4);
    assert.equal(heardOf(null, { ...off, effort: 1.7 }).motor, 1);
    assert.equal(heardOf(null, { contacts: {} }).motor, 0);
});

test("the seat is heard when it is proved, and not because a page has just been opened", () => {
    assert.equal(heardOf(off, seated).seating, true);
    assert.equal(heardOf(seated, seated).seating, false);
    assert.equal(heardOf(null, seated).seating, false);
    assert.equal(heardOf({ contacts: { seated: "unknown" } }, seated).seating, false);
});

// As much of Web Audio as is used: parameters that jump to what they are told.
function fakeContext() {
    const parameter = () => {
        const it = { value: 0, was: [] };
        it.setTargetAtTime = (value) => { it.value = value; it.was.push(value); };
        it.setValueAtTime = it.setTargetAtTime;
        return it;
    };
    const context = { currentTime: 0, gains: [], tones: [], isClosed: false, close: () => { context.isClosed = true; } };
    context.createGain = () => {
        const gain = { gain: parameter(), connect() {} };
        context.gains.push(gain.gain);
        return gain;
    };
    context.createOscillator = () => {
        const tone = { frequency: parameter(), connect() {}, start() {} };
        context.tones.push(tone.frequency);
        return tone;
    };
    return context;
}

test("the speaker is silent until it is told, follows what it is told, and falls silent again", () => {
    const context = fakeContext();
    const playing = speaker(context);
    const [horn, motor, seat] = context.gains;
    assert.deepEqual([horn.value, motor.value, seat.value], [0, 0, 0]);
    playing.hear({ horn: true, motor: 0, seating: false });
    assert.ok(horn.value > 0 && motor.value === 0 && seat.was.length === 0);
    playing.hear({ horn: false, motor: 0.5, seating: false });
    assert.ok(horn.value === 0 && motor.value > 0);
    assert.equal(context.tones[3].value, 105);
    playing.hear({ horn: false, motor: 0, seating: true });
    assert.ok(motor.value === 0 && seat.was[0] > 0 && seat.value === 0);
    playing.end();
    assert.ok(context.isClosed);
});
