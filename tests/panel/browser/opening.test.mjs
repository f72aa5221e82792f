// An opening on the tablet, from the first press to the last proof, a train waiting meanwhile.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bridgeOf, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const ORDER = ["Lined for rail", "Waiting for trains", "Cutting track power", "Warning", "Withdrawing the lock", "Raising",
               "Open for the river", "Warning", "Lowering", "Seating", "Driving the lock", "Proving the rails", "Lined for rail"];
// Shorter ones may come and go between two reports.
const LONG = ["Lined for rail", "Warning", "Raising", "Open for the river", "Lowering", "Lined for rail"];

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    const bridge = bridgeOf("Kettle Narrows");
    bridge.simulation.trains[0]["starts after"] = "15 s"; // by then the slowest machine has the page open
    bridge.simulation.trains[0]["returns after"] = "0 s";
    daemon = await startDaemon({ bridges: [bridge] });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

// What the page shows, frame by frame, from now on.
function watch(page) {
    return page.evaluate(() => {
        window.seen = { phases: [], angles: [] };
        const look = () => {
            const phase = document.getElementById("phase").textContent;
            if (window.seen.phases[window.seen.phases.length - 1] !== phase) {
                window.seen.phases.push(phase);
            }
            if (phase === "Raising") {
                const turn = document.querySelector(".span-rail").getAttribute("transform");
                window.seen.angles.push(-Number(/rotate\(([-\d.]+)\)/.exec(turn)[1]));
            }
            requestAnimationFrame(look);
        };
        look();
    });
}

const isVisible = (page, selector) => page.locator(selector).first().evaluate((element) => getComputedStyle(element).visibility === "visible");

function assertOrdered(phases) {
    let at = 0;
    for (const phase of phases) {
        const found = ORDER.indexOf(phase, at);
        assert.notEqual(found, -1, `${phase} comes in its turn: ${phases.join(", ")}`);
        at = found + 1;
    }
    at = 0;
    phases.forEach((phase) => {
        at += phase === LONG[at] ? 1 : 0;
    });
    assert.equal(at, LONG.length, `all of the long phases are seen: ${phases.join(", ")}`);
}

test("an opening is seen from start to end", async () => {
    const one = await tablet(browser, daemon.url);
    const { page } = one;
    await one.live();
    await one.phase("Lined for rail");
    await watch(page);
    assert.ok(await isVisible(page, ".home .lamp-go"), "the home signal shows proceed");
    assert.ok(!await isVisible(page, ".home .lamp-stop"), "and not stop as well");
    assert.ok(Math.abs(await one.angle()) < 0.5);
    await one.says("tracks", /train/);

    const lower = page.locator('[data-ask="lower"]');
    assert.match(await lower.textContent(), /Nothing to do/, "a button that would do nothing says so");
    assert.equal(await page.evaluate(() => getComputedStyle(document.getElementById("answer")).backgroundColor), "rgba(0, 0, 0, 0)",
                 "no answer, no box");

    await one.press("raise");
    await one.says("answer", /^Raise: granted/);
    await one.phase("Raising");
    await one.says("history", /^HistoryOpenings, newest first.*1\d\d:\d\d:\d\din progressunder way.*\u2013/);
    assert.ok(await isVisible(page, ".home .lamp-stop"), "the home signal shows stop");
    assert.ok(!await isVisible(page, ".home .lamp-go"));
    assert.match(await one.words("tracks"), /dead/);
    assert.doesNotMatch(await one.words("tracks"), /powered/);
    assert.ok(await isVisible(page, ".still .train, .rails .train"), "the train that waits is drawn");
    assert.match(await one.words("wait"), /keep clear/);

    await one.phase("Open for the river");
    assert.match(await one.words("place"), /^7[45]\.\d°$/);
    await one.says("answer", ""); // what was granted then is no news any more
    assert.match(await page.locator('[data-ask="raise"]').textContent(), /Nothing to do/);
    await page.waitForFunction(() => Math.abs(Number(/rotate\(([-\d.]+)\)/.exec(document.querySelector(".span-rail").getAttribute("transform"))[1]) + 75) < 1);
    assert.ok(await isVisible(page, ".river-light .lamp-go"), "the river has green");
    const trace = await page.locator(".way-up").getAttribute("points");
    assert.ok(trace.split(" ").length > 10, "the current is plotted along the way");

    await one.press("lower");
    await one.says("answer", /^Lower: granted/);
    await one.phase("Lined for rail");
    assert.match(await one.words("tracks"), /powered, clear/);
    assert.match(await one.words("facts"), /Openings1/);
    assert.ok(Math.abs(await one.angle()) < 0.5);

    const { phases, angles } = await page.evaluate(() => window.seen);
    assertOrdered(phases);
    const backward = angles.slice(1).filter((angle, i) => angle < angles[i] - 0.5);
    assert.deepEqual(backward, [], "the leaf is never drawn going back on its way up");
    assert.ok(new Set(angles.map((a) => a.toFixed(2))).size > 25, "it moves in many small steps");

    await one.says("history", /whole/);
    assert.equal(await page.locator("#history .link-button").first().textContent(), "1", "the first opening is number 1");
    await page.click("#history .link-button");
    await page.waitForFunction(() => document.querySelector("#history img")?.naturalWidth > 0);
    await one.close();
});

test("sizing plots are drawn by the daemon", async () => {
    const one = await tablet(browser, daemon.url);
    await one.live();
    await one.page.click("#drawings summary");
    await one.page.locator("#drawings img").last().scrollIntoViewIfNeeded();
    await one.page.waitForFunction(() => {
        const images = [...document.querySelectorAll("#drawings img")];
        images.forEach((image) => { image.loading = "eager"; });
        return images.length === 4 && images.every((image) => image.naturalWidth > 0);
    });
    await one.close();
});
