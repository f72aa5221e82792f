// Where things are: the repository, what was built, and the modules that were installed below it.
import { cpSync, mkdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const source = fileURLToPath(new URL("../../../../", import.meta.url));
export const build = process.env.PANEL_BUILD ?? join(source, ".build/panel");
const programs = process.env.PANEL_PROGRAMS ?? join(source, ".build/plain");

export const drawtenderd = join(programs, "drawtenderd");
export const drawtender = join(programs, "drawtender");

const require = createRequire(join(build, "modules/"));
export const installed = (name) => require(name);

// Node takes a .js file for a module only where a package says so; the page has none to be served.
export async function pageModule(name) {
    const folder = join(build, "page");
    mkdirSync(folder, { recursive: true });
    cpSync(join(source, "daemon/panel/page"), folder, { recursive: true });
    writeFileSync(join(folder, "package.json"), '{"type":"module"}');
    return import(pathToFileURL(join(folder, name)));
}
