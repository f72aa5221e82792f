// Every size and scheme: nothing sticks out, fingers hit what they aim at, the emergency stop is always
// there, and axe-core finds nothing. A screenshot of each goes below .build, for people to look at.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { assertAccessible } from "./support/accessible.mjs";
import { KINDS, quiet, startDaemon } from "./support/daemon.mjs";
import { build } from "./support/places.mjs";
import { isFirefox, startBrowser, tablet } from "./support/tablet.mjs";

const SIZES = [[360, 740], [390, 844], [740, 360], [820, 1180], [1024, 768], [1280, 800], [1920, 1080]];
const LEAST_TARGET = 44; // CSS pixels: WCAG 2.2, 2.5.5 (AAA), from memory
const shots = join(build, isFirefox ? "screenshots-firefox" : "screenshots");

let browser;
let daemon;
before(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await startBrowser();
    daemon = await startDaemon({ bridges: Object.keys(KINDS).map(quiet) });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

// What a finger in the middle of the element would hit, and how large it is.
const aimedAt = (locator) => locator.evaluate((element) => {
    const box = element.getBoundingClientRect();
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return { width: box.width, height: box.height, isHit: element.contains(hit), isInside: box.left >= 0 && box.top >= 0 && box.right <= innerWidth && box.bottom <= innerHeight };
});

async function assertEmergency(page, where) {
    const button = await aimedAt(page.locator("#emergency"));
    assert.ok(button.isHit && button.isInside, `the emergency stop is in reach ${where}`);
    assert.ok(button.height >= 64 && button.width >= 200, "and large");
}

async function assertUsable(page) {
    const overflow = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
    assert.ok(overflow <= 0, `${overflow} pixels stick out at the side`);
    for (const button of await page.locator("button:visible, summary:visible").all()) {
        await button.evaluate((element) => element.scrollIntoView({ block: "center" }));
        const aimed = await aimedAt(button);
        const name = await button.textContent();
        assert.ok(aimed.width >= LEAST_TARGET && aimed.height >= LEAST_TARGET, `"${name}" is ${aimed.width} by ${aimed.height}`);
        assert.ok(aimed.isHit, `"${name}" can be hit`);
        await assertEmergency(page, `beside "${name}"`);
    }
    await page.evaluate(() => document.querySelector(".cautions").scrollIntoView({ block: "end" }));
    await assertEmergency(page, "at the very end");
    const last = await page.evaluate(() => {
        const end = document.querySelector(".cautions").getBoundingClientRect().bottom;
        const stop = document.querySelector(".emergency").getBoundingClientRect();
        const isBeside = document.querySelector(".cautions").getBoundingClientRect().right <= stop.left;
        return isBeside || end < stop.top + 1; // scrolled by whole pixels
    });
    assert.ok(last, "the last words can be read");
    await page.evaluate(() => document.querySelector(".top").scrollIntoView());
    await page.evaluate(() => document.querySelector("main").scrollTo(0, 0));
}

// What scrolls ends where the emergency stop begins.
async function assertUncovered(page, when) {
    const [main, stop] = [await page.locator("main").boundingBox(), await page.locator(".emergency").boundingBox()];
    assert.ok(main.y + main.height <= stop.y + 0.5, `${when}: the page ends at ${main.y + main.height}, the emergency stop begins at ${stop.y}`);
    assert.ok(main.height > 300, `${when}: ${main.height} pixels are left for the rest`);
    assert.ok(Math.abs(stop.y + stop.height - page.viewportSize().height) < 1, `${when}: the emergency stop ends at ${stop.y + stop.height}`);
}

for (const [width, height] of SIZES) {
    for (const scheme of ["light", "dark"]) {
        test(`${width} by ${height}, ${scheme}`, async () => {
            const one = await tablet(browser, daemon.url, { width, height, scheme });
            await one.live();
            await one.phase("Lined for rail");
            await one.says("history", /No openings yet|whole/);
            await one.picture(join(shots, `lined-${width}x${height}-${scheme}.png`));
            await assertUsable(one.page);
            await assertAccessible(one.page);
            await one.close();
        });
    }
}

for (const scheme of ["light", "dark"]) {
    test(`a fault and a lost connection are as accessible, ${scheme}`, async () => {
        const one = await tablet(browser, daemon.url, { bus: 2, scheme, expected: /Failed to load resource/ });
        await one.live();
        await one.page.click("#emergency");
        await one.phase("Fault");
        await one.says("emergency-answer", /done; a fault is latched/);
        await one.picture(join(shots, `fault-${scheme}.png`));
        await assertUsable(one.page);
        await assertAccessible(one.page);
        daemon.freeze();
        await one.lost();
        await one.picture(join(shots, `lost-${scheme}.png`));
        await assertEmergency(one.page, "without a connection");
        await assertAccessible(one.page);
        daemon.thaw();
        await one.live();
        await one.press("acknowledge");
        await one.phase("Lined for rail");
        await one.close();
    });
}

test("on a phone the emergency stop covers nothing, whatever it has to say", async () => {
    const one = await tablet(browser, daemon.url, { bus: 3, width: 390, height: 844 });
    await one.live();
    await one.phase("Lined for rail");
    await assertUncovered(one.page, "at rest");
    await one.page.click("#emergency");
    await one.says("emergency-answer", /done; a fault is latched/);
    await assertUncovered(one.page, "with its answer");
    await one.picture(join(shots, "phone-fault.png"));
    await one.press("acknowledge");
    await one.phase("Lined for rail");
    await one.close();
});

// The column beside the picture scrolls by itself.
test("beside the picture nothing lies under the emergency stop either", async () => {
    const one = await tablet(browser, daemon.url, { bus: 3, width: 1024, height: 768 });
    await one.live();
    for (const when of ["at rest", "with its answer"]) {
        const [controls, stop] = [await one.page.locator("#controls").boundingBox(), await one.page.locator(".emergency").boundingBox()];
        assert.ok(controls.y + controls.height <= stop.y, `${when}: the controls end at ${controls.y + controls.height}, the stop begins at ${stop.y}`);
        await one.page.click("#emergency");
        await one.says("emergency-answer", /done; a fault is latched/);
    }
    await one.press("acknowledge");
    await one.close();
});

test("the first load is small", async () => {
    const one = await tablet(browser, daemon.url);
    await one.live();
    const names = await one.page.evaluate(() => [...new Set(performance.getEntriesByType("resource").map((entry) => entry.name)
        .filter((name) => name.includes("/page/")))]);
    let bytes = Number((await fetch(daemon.url, { headers: { "Accept-Encoding": "gzip" } })).headers.get("content-length"));
    for (const name of names) {
        const answer = await fetch(name, { headers: { "Accept-Encoding": "gzip" } });
        assert.equal(answer.headers.get("content-encoding"), "gzip", name);
        bytes += Number(answer.headers.get("content-length"));
    }
    assert.ok(names.length > 20);
    assert.ok(bytes < 150 * 1024, `${bytes} bytes`);
    await one.close();
});

test("words twice as large: the emergency stop is whole and in reach on every screen", async () => {
    for (const [width, height] of SIZES) {
        const one = await tablet(browser, daemon.url, { width, height });
        await one.live();
        await one.page.evaluate(() => {
            document.documentElement.style.fontSize = "200%";
        });
        await assertEmergency(one.page, `at ${width}x${height}`);
        const words = await one.page.locator(".emergency-words").boundingBox();
        assert.ok(words.x >= 0 && words.x + words.width <= width, `its words are ${words.x} to ${words.x + words.width} of ${width}`);
        await one.close();
    }
});
