// Tablets beside the bridge: a real headless browser, a profile of its own each run. PANEL_BROWSER chooses
// Firefox, driven by WebDriver BiDi; otherwise it is Chromium.
import assert from "node:assert/strict";
import { installed } from "./places.mjs";

const { chromium, firefox } = installed("playwright-core");
export const isFirefox = process.env.PANEL_BROWSER === "firefox";
const ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                   "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const LIMIT_MS = 60000;
const LETTER = 16;
// The empty style "body {}" that the driver adds before a screenshot; in Firefox it is the page's, whose policy forbids it.
const DRIVERS_OWN = /sha256-YjaKGiklmzC6wjXA513HAMmzus8VE61XCOT\+SmwNZWA=/;

// Firefox takes what its user has set at its start only; Chromium each tablet by itself, but for the letters.
const preferences = ({ letter = LETTER, scheme, motion, contrast, forced }) => ({
    "font.size.variable.x-western": letter,
    "layout.css.prefers-color-scheme.content-override": scheme === "dark" ? 0 : 1,
    "ui.prefersReducedMotion": motion === "reduce" ? 1 : 0,
    "ui.useAccessibilityTheme": contrast === "more" ? 1 : 0,
    "browser.display.document_color_use": forced === "active" ? 2 : 1,
});

/** `user`: what its user has set, as for `tablet`; and `letter`, the size of letters in CSS pixels. */
export function startBrowser(user = {}) {
    if (isFirefox) {
        return firefox.launch({ channel: "moz-firefox", executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr", headless: true,
                                firefoxUserPrefs: preferences(user) });
    }
    return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", headless: true,
                             args: [...ARGUMENTS, `--blink-settings=defaultFontSize=${user.letter ?? LETTER}`] });
}

/** A browser for one user after another: `of(user)` starts another one where it must. */
export function browserOf() {
    let running = null;
    let key = null;
    return {
        async of(user) {
            const wanted = JSON.stringify(isFirefox ? preferences(user) : user.letter);
            if (!running || key !== wanted) {
                await running?.close();
                running = await startBrowser(user);
                key = wanted;
            }
            return running;
        },
        close: () => running?.close(),
    };
}

/** A tablet that shows the panel. `expected`: what its console may say, as a pattern. `insecure`: any certificate will do. */
export async function tablet(browser, url, { bus = 1, width = 1024, height = 768, scheme = "light", motion = "no-preference", contrast = "no-preference", forced = "none", expected = null, insecure = false } = {}) {
    const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme, reducedMotion: motion, contrast, forcedColors: forced,
                                               ignoreHTTPSErrors: insecure });
    const page = await context.newPage();
    const complaints = [];
    page.setDefaultTimeout(LIMIT_MS);
    page.on("pageerror", (error) => DRIVERS_OWN.test(error) || complaints.push(String(error)));
    page.on("console", (message) => {
        if (["error", "warning"].includes(message.type()) && !expected?.test(message.text())) {
            complaints.push(message.text());
        }
    });
    await page.goto(`${url}#bus=${bus}`);
    return {
        page,
        words: (id) => page.locator(`#${id}`).textContent(),
        press: (ask) => page.click(`[data-ask="${ask}"]`),
        phase: (words) => says(page, "phase", words),
        says: (id, words) => says(page, id, words),
        live: () => page.waitForFunction(() => document.getElementById("link-words").textContent === "live"),
        lost: () => page.waitForFunction(() => document.documentElement.classList.contains("is-lost")),
        // As it is drawn, in degrees: of a leaf that turns, or of a span seen from above.
        angle: () => page.evaluate(() =>
            -Number(/rotate\(([-\d.]+)\)/.exec(document.querySelector(".span-rail").getAttribute("transform"))[1])),
        // With its caret: hiding it takes another such style.
        picture: (path) => page.screenshot({ path, caret: "initial" }),
        async close() {
            await context.close();
            assert.deepEqual(complaints, [], "the console has nothing to say");
        },
    };
}

// Until the element says so: a text, or a pattern.
function says(page, id, words) {
    return page.waitForFunction(([name, source, flags]) => {
        const text = document.getElementById(name).textContent;
        return flags == null ? text === source : new RegExp(source, flags).test(text);
    }, [id, words.source ?? words, words.flags ?? null], { polling: "raf" }).catch(async (problem) => {
        const text = await page.locator(`#${id}`).textContent().catch(() => "(gone)");
        throw new Error(`"${id}" says "${text}", not "${words}" (${problem.message})`);
    });
}
