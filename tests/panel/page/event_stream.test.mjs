// Events out of a stream that is cut anywhere.
import assert from "node:assert/strict";
import { test } from "node:test";
import { pageModule } from "../browser/support/places.mjs";

const { eventStream } = await pageModule("live/event_stream.js");
const STREAM = 'event: state\ndata: {"bus":1}\n\nid: a-7\nevent: news\ndata: one\ndata: two\n\n: a comment\n\nid:8\r\nevent:alive\r\ndata:{}\r\n\r\n';
const EVENTS = [
    { id: null, event: "state", data: '{"bus":1}' },
    { id: "a-7", event: "news", data: "one\ntwo" },
    { id: "8", event: "alive", data: "{}" },
];

function read(pieces) {
    const found = [];
    const stream = eventStream((event) => found.push(event));
    pieces.forEach(stream.push);
    return found;
}

test("whole, and in two pieces cut at every place", () => {
    assert.deepEqual(read([STREAM]), EVENTS);
    for (let i = 0; i <= STREAM.length; i++) {
        assert.deepEqual(read([STREAM.slice(0, i), STREAM.slice(i)]), EVENTS, `cut at ${i}`);
    }
});

test("character by character", () => {
    assert.deepEqual(read([...STREAM]), EVENTS);
});

test("an event that has not ended is not given", () => {
    assert.deepEqual(read(["event: state\ndata: {}\n"]), []);
});

test("the id stays for events without one, as a resume needs it", () => {
    assert.deepEqual(read(["id: 4\ndata: a\n\ndata: b\n\n"]).map(({ id }) => id), ["4", "4"]);
});
