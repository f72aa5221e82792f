// Each kind of lift, opened on the tablet: the picture follows, and several bridges share one daemon.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { KINDS, quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    daemon = await startDaemon({ bridges: Object.keys(KINDS).map(quiet), pace: 20 });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

// The box of what is drawn, in picture units.
const boxOf = (page, selector) => page.locator(selector).first().evaluate((element) => {
    const points = element.getAttribute("points").split(" ").map((pair) => pair.split(",").map(Number));
    const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
    return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
});

async function opened(name, openWords = "Open for the river", isUnwatched = false) {
    const one = await tablet(browser, daemon.url);
    await one.live();
    await one.page.getByRole("button", { name: new RegExp(`^${name}`) }).click();
    await one.says("title", name);
    await one.says("emergency-bridge", name);
    await one.phase("Lined for rail");
    const seated = await boxOf(one.page, ".leaf");
    await one.press("raise");
    if (isUnwatched) { // no detector sees the span: somebody says that it is clear
        await one.page.locator('[data-ask="seen clear"]').waitFor({ state: "visible" });
        await one.press("seen clear");
    }
    await one.phase(openWords);
    return { one, seated };
}

for (const name of ["Kettle Narrows", "Ferry Lane", "Lock Cut"]) {
    test(`${name}: the leaf stands up, its counterweight goes down`, async () => {
        const { one, seated } = await opened(name);
        const weight = await boxOf(one.page, ".counterweight");
        const leaf = await boxOf(one.page, ".leaf");
        assert.ok(leaf.right < seated.left + 0.7 * (seated.right - seated.left), "the toe is away from the channel");
        assert.ok(seated.top - leaf.top > 0.4 * (seated.right - seated.left), "and high");
        assert.ok(weight.bottom > seated.bottom, "the counterweight is lower than anything was");
        await one.close();
    });
}

test("Harbor Lift: the span rises level and its counterweights sink as far", async () => {
    const { one, seated } = await opened("Harbor Lift");
    const leaf = await boxOf(one.page, ".leaf");
    const rise = seated.top - leaf.top;
    assert.ok(rise > 20);
    assert.ok(Math.abs(leaf.left - seated.left) < 0.1 && Math.abs(leaf.right - seated.right) < 0.1);
    assert.ok(Math.abs((seated.bottom - leaf.bottom) - rise) < 0.1, "level");
    assert.match(await one.words("place"), /^about 4\d\d mm$/);
    assert.equal(await one.page.locator(".home").count(), 4, "a home signal for each end of both tracks");
    await one.page.getByText("What guards this bridge").click();
    assert.match(await one.words("guards"), /up quay, up town, down quay, down town at stop: by time \(S3,S4\)/);
    await one.close();
});

test("Mill Swing: the span turns across the tracks, seen from above", async () => {
    const { one, seated } = await opened("Mill Swing");
    const leaf = await boxOf(one.page, ".leaf");
    assert.ok(leaf.bottom - leaf.top > 4 * (leaf.right - leaf.left), "it lies along the river");
    assert.ok(seated.right - seated.left > 4 * (seated.bottom - seated.top), "and lay along the track");
    assert.equal(await one.words("phase"), "Open for the river");
    await one.close();
});

test("Garden Gate: people are told what to do; without a reading it is drawn as a ghost", async () => {
    const { one, seated } = await opened("Garden Gate", /Unlock by hand|Raise by hand|Open for the river/, true);
    assert.match(await one.words("asks"), /Request opening/);
    assert.ok(seated.right > seated.left);
    await one.close();
});

test("the emergency stop acts on the bridge that is shown, and no other", async () => {
    const one = await tablet(browser, daemon.url, { bus: 5 });
    await one.live();
    await one.says("title", "Ferry Lane");
    await one.page.click("#emergency");
    await one.phase("Fault");
    assert.match(await one.words("emergency-answer"), /Emergency stop of Ferry Lane: done/);
    const faults = await one.page.locator(".chooser-button.is-fault").allTextContents();
    assert.equal(faults.length, 1);
    assert.match(faults[0], /^Ferry Lane/);
    await one.close();
});
