// Nothing old is done or shown: presses that hang, windows that nobody sees, pages that stood still.
import assert from "node:assert/strict";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { quiet, startDaemon } from "./support/daemon.mjs";
import { startBrowser, tablet } from "./support/tablet.mjs";

const NOBODY = /ERR_CONNECTION_REFUSED|ERR_CONNECTION_RESET|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_EMPTY_RESPONSE/;
const CONNECTIONS = 6; // of one browser to one server
const STOOD_MS = 4000; // longer than an old picture may pass for a live one

let browser;
let daemon;
before(async () => {
    browser = await startBrowser();
});
beforeEach(async () => {
    daemon = await startDaemon({ bridges: [quiet("Kettle Narrows"), quiet("Garden Gate")] });
});
afterEach(() => daemon?.stop());
after(() => browser?.close());

async function lined(one) {
    await one.live();
    await one.phase("Lined for rail");
}

test("a raise that the daemon finds when it wakes is not done", async () => {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await lined(one);
    daemon.freeze();
    await one.press("raise");
    await one.says("answer", "Raise: unconfirmed: no answer from the bridge's daemon");
    daemon.thaw();
    await one.live();
    await one.says("news", /Raise, requested by the panel at 127\.0\.0\.1: too late/i);
    assert.equal(await one.words("phase"), "Lined for rail");
    await one.close();
});

test("the late answer of an older press does not cover that of a newer one", async () => {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await lined(one);
    daemon.freeze();
    await one.press("raise");
    await one.lost();
    await one.press("lower");
    await one.says("answer", /^Lower: not sent/);
    await one.page.waitForSelector('[data-ask="raise"].is-refused');
    assert.match(await one.words("answer"), /^Lower: not sent/);
    daemon.thaw();
    await one.live();
    await one.close();
});

test("an emergency stop that the daemon finds when it wakes is done", async () => {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await lined(one);
    daemon.freeze();
    await one.page.click("#emergency");
    await one.says("emergency-answer", /^No answer yet/);
    daemon.thaw();
    await one.phase("Fault");
    await one.says("emergency-answer", /^Emergency stop of Kettle Narrows: done; a fault is latched/);
    await one.close();
});

test("an emergency stop does not queue behind six live windows of the same browser", async () => {
    const one = await tablet(browser, daemon.url);
    await lined(one);
    const others = [];
    for (let i = 1; i < CONNECTIONS; i++) {
        const page = await one.page.context().newPage();
        await page.goto(daemon.url);
        await page.waitForFunction(() => document.getElementById("link-words").textContent === "live");
        others.push(page);
    }
    await one.page.click("#emergency");
    await one.says("emergency-answer", /^Emergency stop of Kettle Narrows: done; a fault is latched/);
    await one.close();
});

test("a window that nobody sees has no connection and does not pass for live", async () => {
    const one = await tablet(browser, daemon.url);
    await lined(one);
    const turn = (isHidden) => one.page.evaluate((value) => {
        Object.defineProperty(document, "hidden", { configurable: true, value });
        document.dispatchEvent(new Event("visibilitychange"));
    }, isHidden);
    await turn(true);
    await one.lost();
    assert.match(await one.page.title(), /^No connection/);
    await turn(false);
    await lined(one);
    await one.close();
});

test("a page that stood still is grey before it takes anything that came meanwhile", async () => {
    const one = await tablet(browser, daemon.url);
    await lined(one);
    const seen = await one.page.evaluate((ms) => new Promise((done) => {
        const said = [];
        const look = () => said.push(document.documentElement.classList.contains("is-lost") ? "lost" : document.getElementById("place").textContent);
        const watch = new MutationObserver(look);
        watch.observe(document.documentElement, { attributeFilter: ["class"] });
        watch.observe(document.getElementById("place"), { childList: true });
        fetch("/live").then(() => { // so that the span moves while the page stands
            document.querySelector('[data-ask="raise"]').click();
            setTimeout(() => {
                said.length = 0;
                const end = performance.now() + ms;
                while (performance.now() < end) {
                    // stands still
                }
                setTimeout(() => done(said), 1000);
            }, 100);
        });
    }), STOOD_MS);
    assert.equal(seen[0], "lost", `${seen}`);
    await one.live();
    await one.close();
});

test("the emergency stop of one bridge does not wait for that of another", async () => {
    const one = await tablet(browser, daemon.url, { expected: NOBODY });
    await lined(one);
    daemon.freeze();
    await one.page.click("#emergency");
    await one.says("emergency-answer", /Kettle Narrows/);
    await one.page.click(".chooser-button >> text=Garden Gate");
    await one.says("emergency-answer", "");
    await one.page.click("#emergency");
    await one.says("emergency-answer", /Garden Gate/);
    daemon.thaw();
    await one.phase("Fault");
    await one.close();
});
