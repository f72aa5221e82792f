// axe-core on the page as it stands. It runs from the test, for the page's policy takes no script from outside.
import assert from "node:assert/strict";
import { installed } from "./places.mjs";

const axe = installed("axe-core").source;

export async function assertAccessible(page) {
    await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
    const violations = found.violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
    assert.deepEqual(violations, []);
    assert.ok(found.passes.length > 10, "axe-core has looked");
}
