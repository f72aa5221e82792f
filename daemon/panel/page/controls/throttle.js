// The hand throttle: a slider that springs back, and runs the span only while it is held. Whatever takes the
// hand, the eyes or the daemon away lets go; what cannot be told any more the core ends by itself.
import { ask, link } from "./asking.js";
import { byId, element, say } from "../words/html.js";
import { raiseWords, sentence } from "../words/words.js";

const DEAD = 0.1; // in the middle, either way, of half the slider
const KEY_STEP = 0.1;
const WAYS = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 };
const FASTER = { PageUp: KEY_STEP, PageDown: -KEY_STEP };

/** Where the slider is pushed, -1 to 1, as way (-1, 0, 1) and share of what the throttle sets. */
export function pushed(at, least) {
    const far = Math.min(Math.abs(at), 1);
    const way = far <= DEAD ? 0 : Math.sign(at);
    return { way, share: way === 0 ? 0 : least + (1 - least) * (far - DEAD) / (1 - DEAD) };
}

/** Asks for what the hand does, one question at a time: `ask` as in asking.js. `told(what, answer)`: of what
 * began, or came to an end without the hand. */
export function grip(bus, ask, told) {
    let hand = { way: 0, share: 0 };
    let running = 0; // the way that was asked for, and not let go since
    let isSpent = false; // refused or over: until the hand was at rest
    let isAsking = false;

    const rounded = () => Math.round(hand.share * 1000) / 1000;

    async function letGo() {
        running = 0;
        await ask(bus, "let go");
    }

    async function send(what) {
        isAsking = true;
        const answer = await ask(bus, what, rounded());
        isAsking = false;
        const isLeft = hand.way === 0 || hand.way !== running;
        if (isLeft || !answer.isAnswered) {
            letGo(); // one that was sent before may have overtaken this
        }
        if (!isLeft && !answer.granted) {
            running = 0;
            isSpent = true;
        }
        if (!isLeft && (!answer.granted || what !== "throttle hold")) {
            told(what, answer);
        }
    }

    return {
        get isRunning() {
            return running !== 0;
        },
        /** The hand is there, or at rest (way 0). */
        push(next) {
            const before = hand.way;
            hand = next;
            if (hand.way !== before) {
                isSpent = false;
                if (running !== 0) {
                    letGo();
                }
            }
            this.refresh();
        },
        /** As often as the core wants it. */
        refresh() {
            if (hand.way === 0 || isSpent || isAsking) {
                return;
            }
            if (running !== 0) {
                send("throttle hold");
                return;
            }
            running = hand.way;
            send(hand.way > 0 ? "throttle up" : "throttle down");
        },
    };
}

function shareWords({ share }, sets) {
    return `${Math.round(100 * share)} % of full ${sets}`;
}

// What the hand gets, in words: the order of an opening first, then the slow zones.
function gets(state, isOurs) {
    if (!state.throttle || !isOurs) {
        return state.throttle ? "Somebody else runs the span by a throttle." : "";
    }
    if (state.effort === 0) {
        return state.waits_for ? `In your hand. The bridge first waits for: ${state.waits_for}` : "In your hand. The bridge proves first that it may move.";
    }
    return state.throttle.is_slowed ? "Slower than you ask: a slow zone." : "Runs as you ask. Look at the span.";
}

function slider(place, bridge, words) {
    const thumb = element("span", { className: "throttle-thumb", "aria-hidden": "true" });
    const made = element("div", { className: "throttle-slider", role: "slider", tabindex: "0", id: "throttle-slider",
                                  "aria-label": "Hand throttle", "aria-describedby": "throttle-how", "aria-valuemin": "-100", "aria-valuemax": "100" },
        element("span", { className: "throttle-end", words: words.lower, "aria-hidden": "true" }), thumb,
        element("span", { className: "throttle-end", words: words.raise, "aria-hidden": "true" }));
    const show = ({ way, share }) => {
        const at = Math.round(100 * way * share);
        made.setAttribute("aria-valuenow", String(at));
        made.setAttribute("aria-valuetext", way === 0 ? "at rest" : `${way > 0 ? words.raise : words.lower}, ${shareWords({ share }, bridge.throttle.sets)}`);
        thumb.style.left = `${50 + at * 0.4}%`;
        made.classList.toggle("is-held", way !== 0);
    };
    show({ way: 0, share: 0 });
    place.append(made);
    return { made, show };
}

/** Builds the throttle of one bridge into the page; `may`: the panel's right. */
export function throttle(bridge, may) {
    const place = byId("throttle-place");
    const isThere = bridge.throttle != null && may === "operate";
    const ends = new AbortController();
    place.replaceChildren();
    byId("throttle").hidden = !isThere;
    say(byId("throttle-answer"), "");
    if (!isThere) {
        return { show() {}, lose() {}, end() {} };
    }
    const { least, refresh_ms, sets } = bridge.throttle;
    const words = raiseWords(bridge);
    const { made, show } = slider(place, bridge, words);
    const held = grip(bridge.bus, ask, (what, { granted, isAnswered, words: why }) => {
        const isOver = what === "throttle hold" && isAnswered;
        say(byId("throttle-answer"), granted ? "" : isOver ? "This run is over, or was stopped. Let go first." : `${sentence(why)}. Let go first.`);
    });
    let pointer = null; // the one that holds it
    let timer = null;
    let share = 0.5; // of the keys
    const keys = new Set();
    say(byId("throttle-how"), `It sets the ${sets}. The span runs only while you hold it: look at the span, not here. Keys: hold an arrow; Page Up for more, Page Down for less.`);

    function push(next) {
        const isHeld = next.way !== 0;
        show(next);
        held.push(next);
        if (isHeld && timer == null) {
            timer = setInterval(() => held.refresh(), refresh_ms);
        } else if (!isHeld) {
            clearInterval(timer);
            timer = null;
        }
    }

    function letGo() {
        pointer = null;
        keys.clear();
        push({ way: 0, share: 0 });
    }

    function pushAt(event) {
        const box = made.getBoundingClientRect();
        push(pushed((event.clientX - box.left - box.width / 2) / (0.4 * box.width), least));
    }

    function pushKeys() {
        const ways = new Set([...keys].map((key) => WAYS[key]));
        const way = ways.size === 1 ? [...ways][0] : 0; // both ways is neither
        push(way === 0 ? { way: 0, share: 0 } : { way, share });
    }

    function on(target, kind, act) {
        target.addEventListener(kind, act, { signal: ends.signal });
    }

    on(made, "pointerdown", (event) => {
        if (pointer == null && event.isPrimary && event.button === 0 && link.moment != null) {
            pointer = event.pointerId;
            made.setPointerCapture(pointer);
            pushAt(event);
        }
    });
    on(made, "pointermove", (event) => event.pointerId === pointer && pushAt(event));
    for (const kind of ["pointerup", "pointercancel", "lostpointercapture"]) {
        on(made, kind, (event) => event.pointerId === pointer && letGo());
    }
    on(made, "contextmenu", (event) => event.preventDefault()); // a long touch is no menu
    on(made, "keydown", (event) => {
        const isKey = event.key in WAYS || event.key in FASTER;
        if (!isKey || event.ctrlKey || event.altKey || event.metaKey) {
            return;
        }
        event.preventDefault();
        if (event.key in FASTER) {
            share = Math.min(1, Math.max(KEY_STEP, Math.round(10 * (share + FASTER[event.key])) / 10));
        } else if (!event.repeat && link.moment != null) {
            keys.add(event.key);
        }
        if (pointer == null) {
            pushKeys();
        }
    });
    on(made, "keyup", (event) => keys.delete(event.key) && pointer == null && pushKeys());
    on(made, "blur", letGo);
    on(window, "blur", letGo);
    on(window, "pagehide", letGo);
    on(document, "visibilitychange", () => document.hidden && letGo());

    return {
        show: (state) => say(byId("throttle-gets"), gets(state, held.isRunning)),
        lose: (isLost) => isLost && letGo(),
        end() {
            letGo();
            ends.abort();
        },
    };
}
