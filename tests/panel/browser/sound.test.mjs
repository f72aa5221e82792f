// Sound on the tablet: none before somebody switches it on, then what the bridge does, and silence once the page
// does not know any more.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { assertAccessible } from "./support/accessible.mjs";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")], pace: 1 });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

// What each gain of the page was last told, in the order in which they were made: horn, motor, seat.
function listen(page) {
    return page.evaluate(() => {
        window.told = [];
        const make = AudioContext.prototype.createGain;
        AudioContext.prototype.createGain = function () {
            const node = make.call(this);
            const number = window.told.push(0) - 1;
            const set = node.gain.setTargetAtTime.bind(node.gain);
            node.gain.setTargetAtTime = (level, ...rest) => {
                window.told[number] = level;
                return set(level, ...rest);
            };
            return node;
        };
    });
}

const isLoud = (page, number) => page.waitForFunction((of) => window.told[of] > 0, number);
const isSilent = (page) => page.waitForFunction(() => window.told.length === 3 && window.told.every((level) => level === 0));

test("horn and motor are heard once sound is switched on, and nothing when the daemon is gone", async () => {
    const one = await tablet(browser, daemon.url, { expected: /Failed to load resource|ERR_/ });
    const { page } = one;
    await one.live();
    await listen(page);
    await one.press("horn");
    await page.waitForFunction(() => document.getElementById("facts").textContent.includes("sounds"));
    assert.equal(await page.evaluate(() => window.told.length), 0, "nothing is made before it is asked for");
    await page.check("#sound");
    await assertAccessible(page);
    await page.waitForFunction(() => document.getElementById("facts").textContent.includes("silent"));
    await isSilent(page);
    await one.press("raise");
    await isLoud(page, 0);
    await isLoud(page, 1);
    await daemon.stop();
    daemon = null;
    await one.lost();
    await isSilent(page);
    await one.close();
});
