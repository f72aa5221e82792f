// Where the span is drawn between two reports: carried on with the newest speed, for a short while.

export const CARRY_MS = 300; // never farther beyond the newest report
const BEYOND = 0.05; // of the travel: overtravel is drawn as well
const EASE_MS = 70; // a correction is walked, not jumped

/** A bridge's place without a reading: its contacts', or null where they tell nothing. */
export function placeOf(state) {
    if (state.position != null) {
        return state.position;
    }
    if (state.contacts?.seated === "on") {
        return 0;
    }
    return state.contacts?.open === "on" ? 1 : null;
}

/** `report` {place, speed, at_ms} with `at_ms` on the page's clock; `pace` of layout time. */
export function carried(report, now_ms, pace) {
    const ms = Math.min(Math.max(now_ms - report.at_ms, 0), CARRY_MS);
    const place = report.place + report.speed * pace * ms / 1000;
    return Math.min(Math.max(place, Math.min(report.place, -BEYOND)), Math.max(report.place, 1 + BEYOND));
}

/** One step of the drawn place toward the wanted one, `ms` after the last. */
export function eased(drawn, wanted, ms) {
    if (drawn == null || Math.abs(wanted - drawn) > 0.25) {
        return wanted;
    }
    const next = wanted + (drawn - wanted) * Math.exp(-ms / EASE_MS);
    return Math.abs(next - wanted) < 1e-5 ? wanted : next;
}
