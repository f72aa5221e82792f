// The hand throttle: the span runs while it is held, and rests whatever takes the hand away. Who is not asked
// any more shows it on a second tablet. A machine that is slow may let a run lapse: it is begun anew then.
import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { assertAccessible } from "./support/accessible.mjs";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const UNHEARD = /Failed to load resource|ERR_|409/;
const OVER = "This run is over, or was stopped. Let go first.";

// Trains are far and the warning is short, so that it moves soon.
function handy({ name = "Kettle Narrows", sets = "speed", ...sensors } = {}) {
    const bridge = { ...quiet("Kettle Narrows"), name };
    bridge.warning = { "least": "0 s", "short blast": "100 ms", "prolonged blast": "500 ms", "gap": "100 ms" };
    bridge.timing = { "clear delay": "0 s" };
    for (const track of bridge.tracks) {
        delete track.trains; // no lengths to check
        track.ends.forEach((end) => { end["approach lock"] = "100 ms"; });
    }
    bridge.motion = { ...bridge.motion, "throttle sets": sets };
    bridge.sensors = { ...bridge.sensors, ...sensors };
    return bridge;
}

// At a pace of more than 1 layout time waits for a loop that is late on a busy machine: that is no fault then.
const PACE = 1.1;

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    daemon = await startDaemon({ bridges: [handy(), handy({ name: "Reed Sound", sets: "voltage", current: false }), quiet("Garden Gate")], pace: PACE });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

async function come(options = {}) {
    const one = await tablet(browser, daemon.url, { expected: UNHEARD, ...options });
    await one.live();
    return one;
}

// Has the page note what it asks from now on, in its order; the driver sees no bodies in Firefox. Returns what reads it.
async function asks(page) {
    await page.evaluate(() => {
        const { fetch } = window;
        window.noted = [];
        window.fetch = (path, options) => {
            if (path === "/ask") {
                window.noted.push(JSON.parse(options.body));
            }
            return fetch(path, options);
        };
    });
    return () => page.evaluate(() => window.noted);
}

async function placeOf(page, far) {
    const slider = page.locator("#throttle-slider");
    await slider.evaluate((element) => element.scrollIntoView({ block: "center" }));
    const box = await slider.boundingBox();
    return [box.x + box.width * (0.5 + 0.4 * far), box.y + box.height / 2];
}

// Held until the bridge is in one of these phases, its span off the slow zone at its seat; pressed anew where
// the run lapsed before.
async function holdUntil(page, phases, press, leave) {
    for (;;) {
        await press();
        const is = await page.waitForFunction(([words, over]) => {
            const text = (id) => document.getElementById(id).textContent;
            return words.includes(text("phase")) && (words[0] !== "Raising" || parseFloat(text("place")) > 7) ? "there" : text("throttle-answer") === over ? "over" : false;
        }, [phases, OVER], { polling: "raf" });
        if (await is.jsonValue() === "there") {
            return;
        }
        await leave();
    }
}

async function holdTo({ page }, far, ...phases) {
    await page.mouse.move(...await placeOf(page, far));
    await holdUntil(page, phases, () => page.mouse.down(), () => page.mouse.up());
}

let one;
let beside;
beforeEach(async () => {
    await beside?.close();
    beside = await come();
    await beside.page.waitForFunction(() => document.getElementById("phase").textContent !== "Not proved");
    await beside.page.evaluate(() => {
        const phase = document.getElementById("phase");
        window.phases = [];
        new MutationObserver(() => window.phases.push(phase.textContent)).observe(phase, { childList: true });
    });
});

// Raising, and held after it; on a slow machine maybe by a lapse before.
const besideSawItRest = () => beside.page.waitForFunction(() =>
    window.phases.includes("Raising") && window.phases.lastIndexOf("Held") > window.phases.lastIndexOf("Raising"));
after(() => beside?.close());

test("pressed and held the span runs; let go it rests at once, and nothing more is asked", async () => {
    one = await come();
    const noted = await asks(one.page);
    await holdTo(one, 0.5, "Raising");
    await one.says("throttle-gets", /Runs as you ask|Slower than you ask/);
    await one.page.mouse.up();
    await one.phase("Held");
    const asked = await noted();
    const ends = asked.findLastIndex(({ ask }) => ask === "let go");
    assert.ok(ends > 0 && !asked.slice(ends).some(({ ask }) => ask !== "let go"), JSON.stringify(asked.slice(-3)));
    assert.equal(asked[0].ask, "throttle up");
    assert.ok(asked.some(({ ask, share }) => ask === "throttle hold" && share > 0.4 && share < 0.6));
    assert.equal(await one.page.getAttribute("#throttle-slider", "aria-valuetext"), "at rest");
    await one.close();
});

test("in the middle it rests, and on the other side it runs the other way", async () => {
    one = await come();
    await holdTo(one, 0.8, "Raising");
    await one.page.mouse.move(...await placeOf(one.page, 0));
    await one.phase("Held");
    await one.page.mouse.up();
    await holdTo(one, -0.8, "Lowering", "Seating");
    assert.match(await one.page.getAttribute("#throttle-slider", "aria-valuetext"), /^Lower, 7\d % of full speed$/);
    await one.page.mouse.up();
    await one.phase("Held");
    await one.close();
});

test("a held arrow key does the same, both together do nothing", async () => {
    one = await come();
    await one.page.focus("#throttle-slider");
    const { keyboard } = one.page;
    await holdUntil(one.page, ["Raising"], () => keyboard.down("ArrowRight"), () => keyboard.up("ArrowRight"));
    await one.page.keyboard.press("PageUp");
    assert.equal(await one.page.getAttribute("#throttle-slider", "aria-valuenow"), "60");
    await one.page.keyboard.down("ArrowLeft");
    assert.equal(await one.page.getAttribute("#throttle-slider", "aria-valuenow"), "0");
    await one.phase("Held");
    await one.page.keyboard.up("ArrowLeft");
    await one.page.keyboard.up("ArrowRight");
    await one.close();
});

// While the mouse stays down.
const LOSSES = {
    "the window loses the focus": (page) => page.evaluate(() => window.dispatchEvent(new Event("blur"))),
    "the slider loses the focus": (page) => page.evaluate(() => document.activeElement.blur()),
    // A capture begins and ends with the pointer's next event (W3C, Pointer Events, "process pending pointer capture").
    "the pointer is taken away": async (page) => {
        await page.mouse.move(...await placeOf(page, 0.45));
        await page.evaluate(() => {
            const slider = document.getElementById("throttle-slider");
            slider.releasePointerCapture([...Array(64).keys()].find((id) => slider.hasPointerCapture(id)));
        });
        await page.mouse.move(...await placeOf(page, 0.4));
    },
    "nobody sees the page": (page) => page.evaluate(() => {
        Object.defineProperty(document, "hidden", { configurable: true, value: true });
        document.dispatchEvent(new Event("visibilitychange"));
    }),
};
for (const [words, lose] of Object.entries(LOSSES)) {
    test(`the span rests once ${words}, for it lets go`, async () => {
        one = await come();
        const noted = await asks(one.page);
        await holdTo(one, 0.5, "Raising");
        await lose(one.page);
        await besideSawItRest();
        assert.equal((await noted()).at(-1).ask, "let go");
        await one.close();
    });
}

// Playwright does not see what a page sends while it is left; the page itself notes it.
test("the span rests once the page is left, for it lets go", async () => {
    one = await come();
    await one.page.evaluate(() => {
        const { fetch } = window;
        window.fetch = (path, options) => {
            sessionStorage.setItem("last", JSON.stringify([options?.keepalive, options?.body]));
            return fetch(path, options);
        };
    });
    await holdTo(one, 0.5, "Raising");
    await one.page.goto(`${daemon.url}page/icon.svg`);
    await besideSawItRest();
    const [isKept, body] = JSON.parse(await one.page.evaluate(() => sessionStorage.getItem("last")));
    assert.ok(isKept);
    assert.equal(JSON.parse(body).ask, "let go");
    await one.close();
});

// Nobody can let go then: the core sees that nobody holds on.
const SUDDEN = {
    "the page is gone while it is held": (page) => page.close(),
    "the network is gone while it is held": (page) => page.context().setOffline(true),
};
for (const [words, lose] of Object.entries(SUDDEN)) {
    test(`the span rests though ${words}`, async () => {
        one = await come();
        await holdTo(one, 0.5, "Raising");
        await lose(one.page);
        await besideSawItRest();
        await one.close();
    });
}

test("a page that stood still while it was held does not run on when it wakes", async () => {
    one = await come();
    await holdTo(one, 0.5, "Raising");
    await one.page.evaluate(() => {
        const end = performance.now() + 1500;
        while (performance.now() < end) {
            // stands still
        }
    });
    await one.says("throttle-answer", OVER);
    await one.phase("Held");
    await one.page.mouse.up();
    await one.close();
});

test("the stop of another ends a run, however long the hand stays", async () => {
    one = await come();
    await holdTo(one, 0.5, "Raising");
    await beside.press("stop");
    await one.says("throttle-answer", OVER);
    await one.phase("Held");
    const noted = await asks(one.page);
    await one.page.waitForTimeout(1000); // many times as long as between two questions
    assert.deepEqual((await noted()).filter(({ ask }) => ask !== "let go"), []);
    await one.page.mouse.up();
    await one.close();
});

test("meters show volts and amperes while it runs, as words and for screen readers", async () => {
    one = await come();
    await holdTo(one, 0.9, "Raising");
    await one.page.waitForFunction(() => [...document.querySelectorAll(".meter-dial")].every((dial) =>
        dial.getAttribute("role") === "meter" && Number(dial.getAttribute("aria-valuenow")) > 0));
    const read = await one.page.locator(".meter-value").allTextContents();
    assert.match(read[0], /^\d+\.\d V$/);
    assert.match(read[1], /^\d+\.\d\d A$/);
    assert.ok(parseFloat(read[0]) <= 12, "no more than the supply");
    await one.page.mouse.up();
    await one.phase("Held");
    await one.close();
});

test("what is not measured is not known, and no 0; the voltage is what the hand sets where it is so configured", async () => {
    one = await come({ bus: 2 });
    await one.phase("Lined for rail");
    const [, amperes] = await one.page.locator(".meter").all();
    assert.match(await amperes.textContent(), /^Amperesnot known$/);
    assert.equal(await amperes.locator("[role=meter]").count(), 0);
    await holdTo(one, 0.9, "Raising");
    assert.match(await one.page.getAttribute("#throttle-slider", "aria-valuetext"), /^Raise, \d\d % of full voltage$/);
    await one.page.mouse.up();
    await one.phase("Held");
    await assertAccessible(one.page);
    await one.close();
});

test("a bridge lifted by hand has neither throttle nor meters", async () => {
    one = await come({ bus: 3 });
    assert.equal(await one.page.locator("#throttle").isVisible(), false);
    assert.equal(await one.page.locator(".meter").count(), 0);
    await one.close();
});

test("a panel that may only look has the meters and no throttle", async () => {
    const observed = await startDaemon({ bridges: [handy()], pace: PACE, panel: { may: "observe" } });
    one = await tablet(browser, observed.url);
    await one.live();
    assert.equal(await one.page.locator("#throttle").isVisible(), false);
    assert.equal(await one.page.locator(".meter:visible").count(), 2);
    await one.close();
    await observed.stop();
});

for (const [width, height] of [[320, 640], [390, 844], [740, 360], [1024, 768]]) {
    test(`on ${width} by ${height} it can be reached and touched`, async () => {
        one = await come({ width, height });
        const overflow = await one.page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
        assert.ok(overflow <= 0, `${overflow} pixels stick out at the side`);
        const slider = one.page.locator("#throttle-slider");
        await slider.evaluate((element) => element.scrollIntoView({ block: "center" }));
        const box = await slider.boundingBox();
        assert.ok(box.height >= 44 && box.width >= 200, `${box.width} by ${box.height}`);
        assert.ok(await slider.evaluate((element) => {
            const { left, top, width: wide, height: high } = element.getBoundingClientRect();
            return [0.05, 0.5, 0.95].every((part) => element.contains(document.elementFromPoint(left + part * wide, top + high / 2)));
        }), "all of it can be hit");
        const stop = await one.page.locator("#emergency").boundingBox();
        assert.ok(stop.y >= 0 && stop.y + stop.height <= height, "beside the emergency stop");
        await one.picture(`${process.env.PANEL_BUILD ?? ".build/panel"}/throttle-${width}x${height}.png`);
        await assertAccessible(one.page);
        await one.close();
    });
}
