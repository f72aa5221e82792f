// An old picture never looks alive: the server killed, frozen, and back.
import assert from "node:assert/strict";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const NOBODY = /ERR_CONNECTION_REFUSED|ERR_CONNECTION_RESET|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_EMPTY_RESPONSE/;
const PACE = 10;
const FULL_SPEED_DEG_S = 2.2; // config/kettle-narrows.json
const CARRY_S = 0.3;
const DAY_S = 86400;
const HALF_HOUR_S = 1800;

function secondsOf(clock) {
    const [h, m, s] = clock.split(":").map(Number);
    return h * 3600 + m * 60 + s;
}

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
});
beforeEach(async () => {
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")], pace: PACE });
});
afterEach(() => daemon?.stop());
after(() => browser?.close());

async function raising() {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await one.live();
    await one.phase("Lined for rail");
    await one.press("raise");
    await one.phase("Raising");
    await one.says("place", /^[1-9]\d\./);
    return one;
}

async function assertOld(one) {
    await one.lost();
    assert.match(await one.words("lost-words"), /^No connection since \d\d:\d\d:\d\d\. What you see is out of date\.$/);
    const since = /\d\d:\d\d:\d\d/.exec(await one.words("lost-words"))[0];
    const newest = await one.page.locator("#news time").first().textContent();
    const after_s = (secondsOf(since) - secondsOf(newest) + DAY_S) % DAY_S;
    assert.ok(after_s < HALF_HOUR_S, `by the bridge's clock, which is ahead of the tablet's: ${since}, and the newest of the news ${newest}`);
    assert.match(await one.words("lost-age"), /^\d+ s old$/);
    assert.ok(await one.page.locator("#lost").isVisible());
    assert.equal(await one.words("phase"), "Last seen: Raising");
    assert.match(await one.page.title(), /^No connection/);
    const look = await one.page.evaluate(() => ({
        filter: getComputedStyle(document.getElementById("picture")).filter,
        opacity: Number(getComputedStyle(document.getElementById("drawing")).opacity),
    }));
    assert.equal(look.filter, "grayscale(1)");
    assert.ok(look.opacity < 0.6);
    const angle = await one.angle();
    assert.ok(Math.abs(angle - parseFloat(await one.words("place"))) < 0.1, "drawn where it was last seen, no farther");
}

test("killed: grey at once, since when, asks say that nobody heard them; back: alive again", async () => {
    const one = await raising();
    await daemon.kill();
    await assertOld(one);
    const angle = await one.angle();
    await one.press("lower");
    await one.says("answer", /^Lower: not sent: no connection/);
    await one.page.click("#emergency");
    await one.says("emergency-answer", /Use the hard-wired stop of Kettle Narrows/);
    assert.equal(await one.angle(), angle, "and it stands still");

    // The emergency stop is still being tried when the daemon comes back.
    await daemon.again();
    await one.live();
    assert.ok(!await one.page.locator("#lost").isVisible());
    assert.doesNotMatch(await one.words("phase"), /Last seen/);
    await one.says("emergency-answer", /^Emergency stop of Kettle Narrows: done; a fault is latched/);
    await one.phase("Fault");
    await one.close();
});

test("frozen with the connection open: carried on for a moment only, then lost, then alive again", async () => {
    const one = await raising();
    await one.page.evaluate(() => {
        window.farthest = 0;
        const look = () => {
            const turn = document.querySelector(".span-rail").getAttribute("transform");
            const drawn = -Number(/rotate\(([-\d.]+)\)/.exec(turn)[1]);
            window.farthest = Math.max(window.farthest, drawn - parseFloat(document.getElementById("place").textContent));
            requestAnimationFrame(look);
        };
        look();
    });
    daemon.freeze();
    await assertOld(one);
    const farthest = await one.page.evaluate(() => window.farthest);
    assert.ok(farthest < FULL_SPEED_DEG_S * PACE * CARRY_S + 1, `carried ${farthest} deg beyond the last report`);
    assert.ok(farthest > 0.5, "it was carried on at all");
    daemon.thaw();
    await one.live();
    await one.phase("Open for the river");
    await one.close();
});

test("a daemon that comes back with another bridge is shown as it is", async () => {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await one.live();
    await daemon.kill();
    await one.lost();
    await daemon.again([quiet("Lock Cut")]);
    await one.says("title", "Lock Cut");
    await one.live();
    await one.close();
});
