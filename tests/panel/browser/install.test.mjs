// Whether Chromium itself would put the page on a home screen (W3C, Web Application Manifest).
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { isFirefox, startBrowser, tablet } from "./support/tablet.mjs";

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows")] });
});
after(async () => {
    await daemon?.stop();
    await browser?.close();
});

const skip = isFirefox && "what a browser makes of a manifest only Chromium's devtools tell";

test("the manifest is read without a mistake, and its icons are there", { skip }, async () => {
    const one = await tablet(browser, daemon.url);
    await one.live();
    const devtools = await one.page.context().newCDPSession(one.page);
    const { errors, data } = await devtools.send("Page.getAppManifest");
    assert.deepEqual(errors, []);
    const manifest = JSON.parse(data);
    assert.equal(manifest.display, "standalone");
    for (const { src, type } of manifest.icons) {
        const answer = await daemon.get(src);
        assert.equal(answer.status, 200);
        assert.equal(answer.headers.get("content-type"), type);
    }
    const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
    // A private window, which every test has, is never offered it.
    assert.deepEqual(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== "in-incognito"), []);
    await one.close();
});
