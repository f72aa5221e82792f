// Server-sent events out of a stream of text (the format: HTML Living Standard, 9.2.6, from memory).

/** `onEvent({id, event, data})` for each whole event; `push(text)` takes any piece of the stream. */
export function eventStream(onEvent) {
    let rest = "";
    let event = "message";
    let data = [];
    let id = null;

    function field(line) {
        const colon = line.indexOf(":");
        const name = colon < 0 ? line : line.slice(0, colon);
        const value = colon < 0 ? "" : line.slice(colon + 1).replace(/^ /, "");
        if (name === "event") {
            event = value;
        } else if (name === "data") {
            data.push(value);
        } else if (name === "id") {
            id = value;
        }
    }

    function line(text) {
        if (text !== "") {
            field(text);
            return;
        }
        if (data.length > 0) {
            onEvent({ id, event, data: data.join("\n") });
        }
        event = "message";
        data = [];
    }

    return {
        push(text) {
            const lines = (rest + text).split("\n");
            rest = lines.pop();
            lines.forEach((one) => line(one.replace(/\r$/, "")));
        },
    };
}
