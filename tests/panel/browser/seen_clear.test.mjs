// A bridge of two switches alone: who stands at it says that the span is seen clear, when it is asked for and not before.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { startDaemon } from "./support/daemon.mjs";
import { source } from "./support/places.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    const [bridge] = JSON.parse(readFileSync(join(source, "config/two-switches.json"), "utf8")).bridges;
    bridge.simulation.trains = [];
    daemon = await startDaemon({ bridges: [bridge] });
});
after(async () => {
    await browser?.close();
    await daemon?.stop();
});

test("the button for the word shows only while it is waited for, and the word opens", async () => {
    const beside = await tablet(browser, daemon.url);
    const button = beside.page.locator('[data-ask="seen clear"]');
    await beside.phase("Lined for rail");
    assert.equal(await button.isVisible(), false);
    await beside.press("raise");
    await button.waitFor({ state: "visible" });
    await beside.says("wait", /seen clear/);
    assert.match(await button.textContent(), /You see the whole span/);
    await button.click();
    await beside.says("answer", /^Seen clear: granted/);
    await button.waitFor({ state: "hidden" });
    await beside.phase("Raising");
    await beside.close();
});
