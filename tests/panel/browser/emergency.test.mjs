// The emergency stop, refusals, and two tablets at one bridge.
import assert from "node:assert/strict";
import { after, before, beforeEach, afterEach, test } from "node:test";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const PACE = 2; // a slow machine presses before the span is open, too
const REFUSALS = /status of 409/; // the browser notes each in its console

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

// The simulated sensor is noisy: a span at rest shows a tenth of a degree more or less.
const NOISE_DEG = 0.25;
const placeOf = async (one) => parseFloat(await one.words("place"));
const assertNear = (found, wanted, what) => assert.ok(Math.abs(found - wanted) < NOISE_DEG, `${what}: ${found}, ${wanted}`);

async function raising(one) {
    await one.live();
    await one.phase("Lined for rail");
    await one.press("raise");
    await one.phase("Raising");
    await one.says("place", /^[1-9]/);
}

test("the emergency stop halts the span, latches a fault, and takes an acknowledgment to end", async () => {
    const one = await tablet(browser, daemon.url, { expected: REFUSALS });
    await raising(one);
    await one.page.click("#emergency");
    await one.phase("Fault");
    await one.says("emergency-answer", /^Emergency stop of Kettle Narrows: done; a fault is latched/);
    assert.match(await one.words("wait"), /Fix the cause, then acknowledge/);
    await one.says("news", /Emergency stop/i);
    assert.equal(await one.words("answer"), "", "nothing green is left beside a fault");

    const place = await placeOf(one);
    await one.press("raise");
    await one.says("answer", /^Raise: refused: a fault is latched/);
    assert.ok(await one.page.locator('[data-ask="raise"].is-refused').isVisible());
    assert.match(await one.words("asks"), /A fault is latched/, "the button said so before");
    assertNear(await placeOf(one), place, "and nothing moved");

    await one.press("acknowledge");
    await one.phase("Held");
    await one.says("answer", /^Acknowledge: granted/);
    assert.equal(await one.words("emergency-answer"), "");
    assertNear(await placeOf(one), place, "an acknowledgment starts nothing");
    await one.press("lower");
    await one.phase("Lined for rail");
    assert.match(await one.words("tracks"), /dead/, "nor does the bridge bring back the trains by itself");
    await one.press("power on");
    await one.says("tracks", /powered/);
    await one.close();
});

test("a finger down is enough, and a key", async () => {
    for (const by of ["finger", "key"]) {
        const one = await tablet(browser, daemon.url);
        await one.live();
        await one.phase(/Lined for rail|Fault/);
        if (by === "finger") {
            const box = await one.page.locator("#emergency").boundingBox();
            await one.page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
            await one.page.mouse.down();
        } else {
            await one.press("acknowledge");
            await one.phase("Lined for rail");
            // Back to the first stop: after the last one some browsers go on to their own bars.
            for (let i = 0; i < 30 && !await one.page.locator("#emergency:focus").count(); i++) {
                await one.page.keyboard.press("Shift+Tab");
            }
            assert.ok(await one.page.locator("#emergency:focus").count(), "keys reach it");
            await one.page.keyboard.press("Enter");
        }
        await one.phase("Fault");
        await one.close();
    }
});

test("the first key stop of the page is the emergency stop", async () => {
    const one = await tablet(browser, daemon.url);
    await one.live();
    await one.page.keyboard.press("Tab");
    assert.equal(await one.page.evaluate(() => document.activeElement.id), "emergency");
    await one.close();
});

test("stop here holds the span; raise goes on from there", async () => {
    const one = await tablet(browser, daemon.url);
    await raising(one);
    await one.press("stop");
    await one.phase("Held");
    await one.says("answer", "Stop here: done; the bridge is held");
    await one.press("raise");
    await one.phase("Raising");
    await one.close();
});

test("two tablets show the same bridge, and either may stop it", async () => {
    const [one, other] = [await tablet(browser, daemon.url), await tablet(browser, daemon.url, { width: 360, height: 740, scheme: "dark" })];
    await other.live();
    await raising(one);
    await other.phase("Raising");
    await other.says("news", /raise/i);
    await other.press("stop");
    await one.phase("Held");
    await other.phase("Held");
    assertNear(await placeOf(one), await placeOf(other), "both show the same place");
    await one.close();
    await other.close();
});
