// Everything on the page that belongs to the one bridge shown.
import { controls } from "../controls/controls.js";
import { motorMeters } from "../controls/meters.js";
import { throttle } from "../controls/throttle.js";
import { currentPlot, legendWords } from "../history/current_plot.js";
import { drawing } from "../picture/drawing.js";
import { contacts, facts } from "./facts.js";
import { showGuards } from "./guards.js";
import { showHeadline } from "./headline.js";
import { history, sizingPlots } from "../history/history.js";
import { byId, say } from "./html.js";
import { carried, eased, placeOf } from "../live/motion.js";
import { trackRows } from "./track_rows.js";
import { placeWords } from "./words.js";

const RECORD_MS = 1500; // the recorder writes twice a second

// What the history tells anew: an opening begins, is open, ends; a fault comes or goes.
function chapter({ phase, openings, fault }) {
    const part = ["lined", "open"].includes(phase) ? phase : "in mid-travel";
    return `${part} ${openings} ${fault?.name ?? ""}`;
}

export function shownBridge(bridge, { may, pace }, traces) {
    const still = matchMedia("(prefers-reduced-motion: reduce)");
    const parts = {
        drawing: drawing(byId("drawing"), bridge),
        rows: trackRows(byId("tracks"), bridge),
        facts: facts(byId("facts"), bridge),
        contacts: contacts(byId("contacts"), bridge),
        controls: controls(bridge, may),
        throttle: throttle(bridge, may),
        meters: motorMeters(bridge),
        plot: bridge.has.current ? currentPlot(byId("current-plot"), bridge) : null,
        history: history(bridge),
    };
    let state = null;
    let report = null;
    let drawn = null;
    let last_ms = performance.now();
    let isLost = false;
    let isEnded = false;

    byId("current").hidden = parts.plot == null;
    byId("contacts-card").hidden = bridge.contacts.length === 0;
    showGuards(byId("guards-card"), byId("guards"), bridge);
    sizingPlots(bridge);
    say(byId("title"), bridge.name);
    parts.history.refresh();
    showHeadline(bridge, null, false);

    function headline() {
        showHeadline(bridge, state, isLost);
        say(byId("place"), state ? placeWords(bridge, placeOf(state)) : "");
        const words = state ? `${bridge.name}: ${byId("phase").textContent}` : bridge.name;
        say(byId("drawing-words"), `Drawing of ${words}`);
    }

    // Between reports the span goes on as it went; without a connection it stays where it was last seen.
    function frame(now_ms) {
        if (isEnded) {
            return;
        }
        if (report) {
            const wanted = isLost || still.matches ? report.place : carried(report, now_ms, pace);
            drawn = isLost || still.matches ? wanted : eased(drawn, wanted, now_ms - last_ms);
            parts.drawing.place(drawn);
        } else if (state) {
            drawn = null;
            parts.drawing.place(null);
        }
        last_ms = now_ms;
        requestAnimationFrame(frame);
    }
    requestAnimationFrame(frame);

    function plot(isNew) {
        if (parts.plot && isNew) {
            parts.plot.show(traces);
            say(byId("current-words"), legendWords(bridge, traces.way));
        }
    }
    plot(true);

    return {
        bridge,
        show(newest, isTraced) {
            const before = state;
            state = newest;
            const place = placeOf(state);
            report = place == null ? null : { place, speed: state.position == null ? 0 : state.speed, at_ms: performance.now() };
            headline();
            parts.drawing.show(state);
            parts.rows.show(state);
            parts.facts.show(state);
            parts.contacts.show(state);
            parts.controls.show(state);
            parts.throttle.show(state);
            parts.meters.show(state);
            plot(isTraced);
            if (before?.fault && !state.fault) {
                say(byId("emergency-answer"), ""); // it was acknowledged: no longer news
            }
            if (before && chapter(before) !== chapter(state)) {
                setTimeout(parts.history.refresh, RECORD_MS);
            }
        },
        lose(isNowLost) {
            isLost = isNowLost;
            parts.throttle.lose(isLost);
            headline();
            if (!isLost) {
                parts.history.refresh();
            }
        },
        end() {
            isEnded = true;
            parts.throttle.end();
            parts.drawing.end();
            parts.plot?.end();
            parts.history.end();
        },
    };
}
