// The token, where the listener wants one: it buys a cookie, and the page keeps nothing.
import { byId, say } from "../words/html.js";

/** Shows the entry until a token was taken. */
export function enter() {
    const form = byId("entry");
    form.hidden = false;
    byId("token").focus();
    return new Promise((taken) => {
        form.addEventListener("submit", async function send(event) {
            event.preventDefault();
            const words = await trial(byId("token").value.trim());
            say(byId("entry-answer"), words ?? "");
            byId("token").value = "";
            if (words == null) {
                form.removeEventListener("submit", send);
                form.hidden = true;
                taken();
            }
        });
    });
}

// Null, or why not.
async function trial(token) {
    try {
        const answer = await fetch("/enter", {
            method: "POST",
            headers: { "Content-Type": "application/json" },
            body: JSON.stringify({ token }),
        });
        return answer.ok ? null : (await answer.json()).error;
    } catch {
        return "no connection to the bridge's daemon";
    }
}
