// Who may come in: a token where the listener wants one, and a panel that may only look.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, afterEach, before, test } from "node:test";
import { assertAccessible } from "./support/accessible.mjs";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { build } from "./support/places.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const TOKEN = "kettle-narrows-tablet-7";
const REFUSALS = /status of (401|403)|ERR_CONNECTION_REFUSED|ERR_CONNECTION_RESET|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_EMPTY_RESPONSE/; // and failures: the browser notes each in its console

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
});
afterEach(() => daemon?.stop());
after(() => browser?.close());

test("a token is asked for, a wrong one is told, the right one opens the picture", async () => {
    const file = join(build, `token-${process.pid}`);
    writeFileSync(file, `${TOKEN}\n`, { mode: 0o600 });
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")], panel: { "token file": file } });
    const one = await tablet(browser, daemon.url, { expected: REFUSALS });
    await one.page.waitForSelector("#entry:not([hidden])");
    assert.ok(!await one.page.locator("#main").isVisible());
    const lamp = await one.page.locator(".link-mark").evaluate((mark) => getComputedStyle(mark).backgroundColor);
    assert.equal(lamp, "rgba(0, 0, 0, 0)", "the lamp of a live connection is not lit before there is one");
    await one.page.click("#emergency");
    await one.says("emergency-answer", /Use the hard-wired stop/);

    await one.page.fill("#token", "not-the-token-at-all");
    await one.page.keyboard.press("Enter");
    await one.says("entry-answer", /\w/);
    await assertAccessible(one.page);
    assert.ok(!await one.page.locator("#main").isVisible());

    await one.page.fill("#token", TOKEN);
    await one.page.keyboard.press("Enter");
    await one.live();
    await one.phase("Lined for rail");
    assert.ok(!await one.page.locator("#entry").isVisible());
    await one.press("raise");
    await one.says("answer", /^Raise: granted/);

    // Cookies end with the daemon: it asks again, and the old picture looks old meanwhile.
    await daemon.kill();
    await one.lost();
    await daemon.again();
    await one.page.waitForSelector("#entry:not([hidden])");
    assert.ok(await one.page.locator("#lost").isVisible());
    await one.page.fill("#token", TOKEN);
    await one.page.keyboard.press("Enter");
    await one.live();
    assert.ok(!await one.page.locator("#lost").isVisible());
    await one.close();
});

test("a panel that may only observe says so, and its emergency stop points at the wired one", async () => {
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")], panel: { may: "observe" } });
    const one = await tablet(browser, daemon.url, { expected: REFUSALS });
    await one.live();
    await one.phase("Lined for rail");
    assert.ok(await one.page.locator("#rights").isVisible());
    assert.ok(!await one.page.locator("#asks").isVisible());
    await assertAccessible(one.page);
    assert.match(await one.words("emergency-caution"), /cannot stop anything: use the hard-wired stop/, "before anybody presses it");
    await one.page.click("#emergency");
    await one.says("emergency-answer", /^Not stopped: .*Use the hard-wired stop of Kettle Narrows\.$/);
    assert.equal(await one.words("phase"), "Lined for rail");
    await one.close();
});
