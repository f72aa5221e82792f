// What guards a bridge, in words.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { guardWords } = await pageModule("words/guards.js");
const guard = { how: "by-time", invariants: "S3,S4", condition: "home signal main east at stop",
                rests_on: "told, 3 s", unseen: "a signal that does not obey", better: "a signal proof" };

test("a guard says how, what it rests on, what that does not see and what would be better", () => {
    assert.deepEqual(guardWords(guard), {
        head: "home signal main east at stop: by time (S3,S4)",
        rest: "Rests on: told, 3 s. Not seen: a signal that does not obey. Better: a signal proof.",
    });
});

test("what there is nothing to say of is left out", () => {
    assert.equal(guardWords({ ...guard, unseen: "", better: "" }).rest, "Rests on: told, 3 s.");
});

test("every way has words", () => {
    assert.match(guardWords({ ...guard, how: "by-word" }).head, /by a person's word/);
    assert.match(guardWords({ ...guard, how: "proved" }).head, /proved in another way/);
});
