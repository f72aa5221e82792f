// Asking the bridge, and what it answers. The daemon decides; the page only tells.

const LONGEST_MS = 3000;

/** {granted, words, isAnswered}; without a connection nothing is granted and nobody has answered. */
export async function ask(bus, what) {
    const limit = new AbortController();
    const timer = setTimeout(() => limit.abort(), LONGEST_MS);
    try {
        const answer = await fetch("/ask", {
            method: "POST",
            headers: { "Content-Type": "application/json" },
            body: JSON.stringify({ bus, ask: what }),
            signal: limit.signal,
        });
        const said = await answer.json();
        return { granted: said.granted === true, words: said.words ?? said.error ?? `the server answers ${answer.status}`, isAnswered: true };
    } catch {
        return { granted: false, words: "no connection to the bridge's daemon", isAnswered: false };
    } finally {
        clearTimeout(timer);
    }
}
