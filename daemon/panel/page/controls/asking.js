// Asking the bridge, and what it answers. The daemon decides; the page only tells.

const LONGEST_MS = 4000; // the daemon does nothing that comes later than 3 s, but stops
const STOP_TRY_MS = 1500; // a connection that died unseen is left soon: who tries again has another
const CROWDED_MS = 500;
const STOPS = new Set(["stop", "emergency stop", "power off", "let go"]);

/** What the live connection tells: `moment` of its newest sign of life, null without; and how to end it. */
export const link = { moment: null, giveWay() {} };

function send(bus, what, share, signal) {
    return fetch("/ask", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ bus, ask: what, share, moment: link.moment ?? undefined }),
        keepalive: STOPS.has(what), // a page that closes still says it
        signal,
    });
}

/** {granted, words, isAnswered, isSent}; what sets something going is not even sent over a dead connection.
 * `share`: of a throttle, how far it is open. */
export async function ask(bus, what, share) {
    const isStop = STOPS.has(what);
    if (link.moment == null && !isStop) {
        return { granted: false, words: "no connection to the bridge's daemon, so nothing was requested", isAnswered: false, isSent: false };
    }
    const limit = new AbortController();
    const timer = setTimeout(() => limit.abort(), isStop ? STOP_TRY_MS : LONGEST_MS);
    // Browsers have six connections for all their windows: a stop does not queue behind six live pictures.
    // A throttle that is let go is held by the bridge itself by then.
    const crowded = setTimeout(() => isStop && what !== "let go" && link.giveWay(), CROWDED_MS);
    try {
        const answer = await send(bus, what, share, limit.signal);
        const said = await answer.json();
        return { granted: said.granted === true, words: said.words ?? said.error ?? `the server answered ${answer.status}`,
                 isAnswered: true, isSent: true };
    } catch {
        return { granted: false, words: "no answer from the bridge's daemon", isAnswered: false, isSent: true };
    } finally {
        clearTimeout(timer);
        clearTimeout(crowded);
    }
}
