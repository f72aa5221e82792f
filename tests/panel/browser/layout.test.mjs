// Every size, scheme and size of letters, and what people set who see badly: nothing sticks out, fingers hit what they aim at, the emergency stop is always
// there, and axe-core finds nothing. A screenshot of each goes below .build, for people to look at.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { assertAccessible } from "./support/accessible.mjs";
import { KINDS, quiet, startDaemon } from "./support/daemon.mjs";
import { build } from "./support/places.mjs";
import { browserOf, isFirefox, tablet } from "./support/tablet.mjs";

const SIZES = [[320, 640], [360, 740], [390, 844], [740, 360], [820, 1180], [1024, 768], [1280, 800], [1920, 1080]];
const LEAST_TARGET = 44; // CSS pixels: WCAG 2.2, 2.5.5 (AAA), from memory
const shots = join(build, isFirefox ? "screenshots-firefox" : "screenshots");

const LETTER = 32; // twice what browsers have by themselves: WCAG 2.2, 1.4.4 (AA), from memory

const browsers = browserOf();
let daemon;
before(async () => {
    mkdirSync(shots, { recursive: true });
    daemon = await startDaemon({ bridges: Object.keys(KINDS).map(quiet) });
});
after(async () => {
    await browsers.close();
    await daemon?.stop();
});

// A tablet whose user has set all that; the browser says that it knows.
async function come(user = {}) {
    const one = await tablet(await browsers.of(user), daemon.url, user);
    const { scheme = "light", motion = "no-preference", contrast = "no-preference", forced = "none", letter = 16 } = user;
    const queries = [`(prefers-color-scheme: ${scheme})`, `(prefers-reduced-motion: ${motion})`, `(forced-colors: ${forced})`,
                     ...(forced === "none" ? [`(prefers-contrast: ${contrast})`] : []), `(width: ${(user.width ?? 1024) / letter}rem)`];
    assert.deepEqual(await one.page.evaluate((all) => all.filter((query) => !matchMedia(query).matches), queries), []);
    return one;
}

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
        const isWhole = await button.evaluate((element) => element.scrollWidth <= element.clientWidth + 1); // parts of pixels
        assert.ok(isWhole, `"${name}" is whole`);
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

for (const scheme of ["light", "dark"]) {
    for (const [width, height] of SIZES) {
        test(`${width} by ${height}, ${scheme}`, async () => {
            const one = await come({ width, height, scheme });
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
        const one = await come({ bus: 2, scheme, expected: /Failed to load resource/ });
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
    const one = await come({ bus: 3, width: 390, height: 844 });
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

// The column beside the picture scrolls by itself, and fades where there is more of it.
test("beside the picture nothing lies under the emergency stop either", async () => {
    for (const [width, height, letter] of [[1024, 768], [1280, 800], [740, 360], [1024, 768, LETTER]]) {
        const one = await come({ bus: 3, width, height, letter });
        await one.live();
        await one.phase("Lined for rail");
        for (const when of ["at rest", "with its answer"]) {
            if (when !== "at rest") {
                await one.page.click("#emergency");
                await one.says("emergency-answer", /done; a fault is latched/);
            }
            await one.page.waitForFunction(() => {
                const [controls, stop] = ["#controls", ".emergency"].map((name) => document.querySelector(name).getBoundingClientRect());
                return stop.left < controls.right && controls.bottom <= stop.top; // once it has been measured
            }).catch(async (problem) => {
                const boxes = await Promise.all(["#controls", ".emergency"].map((name) => one.page.locator(name).boundingBox()));
                throw new Error(`${width} by ${height}, ${when}: ${JSON.stringify(boxes)} (${problem.message})`);
            });
            const room = await one.page.evaluate(() => document.getElementById("controls").clientHeight / document.querySelector('[data-ask="acknowledge"]').offsetHeight);
            assert.ok(room >= 1, `${width} by ${height}, ${when}: room for ${room} buttons`);
        }
        const controls = one.page.locator("#controls");
        const fades = () => controls.evaluate((element) => getComputedStyle(element).maskImage !== "none");
        assert.ok(await fades(), "more lies below");
        await controls.evaluate((element) => element.scrollTo(0, element.scrollHeight));
        await one.page.waitForFunction(() => getComputedStyle(document.getElementById("controls")).maskImage === "none");
        await controls.evaluate((element) => element.scrollTo(0, 0));
        await one.press("acknowledge");
        await one.phase("Lined for rail");
        await one.close();
    }
});

test("the first load is small", async () => {
    const one = await come();
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

for (const [width, height] of SIZES) {
    test(`letters twice as large, ${width} by ${height}`, async () => {
        const one = await come({ width, height, letter: LETTER });
        await one.live();
        await one.phase("Lined for rail");
        assert.ok(await one.page.evaluate(() => parseFloat(getComputedStyle(document.body).fontSize)) >= LETTER);
        await one.picture(join(shots, `large-${width}x${height}.png`));
        await assertUsable(one.page);
        await assertAccessible(one.page);
        const stop = await one.page.locator(".emergency").boundingBox();
        assert.ok(stop.height <= height / 2 || stop.width <= width / 2, `half is left: ${JSON.stringify(stop)}`);
        for (const name of ["words", "bridge"]) {
            const isWhole = await one.page.locator(`.emergency-${name}`).evaluate((element) => element.scrollWidth <= element.parentElement.clientWidth);
            assert.ok(isWhole, name);
        }
        await one.close();
    });
}

const drawnAs = (locator, what) => locator.evaluate((element, name) => getComputedStyle(element)[name], what);

const SEEING = {
    "forced colours": [{ forced: "active" }, async (page) => {
        const [ground, mark] = [await drawnAs(page.locator("html"), "backgroundColor"), await drawnAs(page.locator(".link-mark"), "backgroundColor")];
        assert.notEqual(mark, ground, "that it is live is seen");
        assert.equal(await drawnAs(page.locator("#emergency"), "backgroundColor"), "rgb(184, 0, 22)", "the emergency stop is red");
    }],
    "more contrast": [{ contrast: "more" }, async (page) => {
        assert.equal(await drawnAs(page.locator("#wait"), "color"), "rgb(0, 0, 0)", "no grey words");
    }],
    "more contrast, dark": [{ contrast: "more", scheme: "dark" }, async (page) => {
        assert.equal(await drawnAs(page.locator("#wait"), "color"), "rgb(255, 255, 255)", "no grey words");
    }],
    "reduced motion": [{ motion: "reduce" }, async (page) => {
        const lamp = page.locator(".river");
        await lamp.evaluate((element) => element.classList.add("is-flashing"));
        assert.equal(await drawnAs(lamp.locator(".lamp-body").first(), "animationName"), "none", "nothing flashes");
    }],
};
for (const [words, [wanted, look]] of Object.entries(SEEING)) {
    for (const [width, height] of [[320, 640], [1024, 768]]) {
        test(`${words}, ${width} by ${height}`, async () => {
            const one = await come({ width, height, ...wanted });
            await one.live();
            await one.phase("Lined for rail");
            await one.picture(join(shots, `${words.replaceAll(/\W+/g, "-")}-${width}x${height}.png`));
            await assertUsable(one.page);
            await assertAccessible(one.page);
            await look(one.page);
            await one.close();
        });
    }
}
