// What people read: words for phases and states, and numbers as they are written.

const PHASES = {
    unproved: "Not proved",
    lined: "Lined for rail",
    clearing: "Waiting for trains",
    cutting: "Cutting track power",
    warning: "Warning",
    unlocking: "Withdrawing the lock",
    raising: "Raising",
    open: "Open for the river",
    lowering: "Lowering",
    seating: "Seating",
    locking: "Driving the lock",
    proving: "Proving the rails",
    held: "Held",
    fault: "Fault",
};

// Where a span turns away instead of rising, and where people do the work.
const OTHERWISE = {
    swing: { raising: "Swinging open", lowering: "Swinging shut" },
    hand: { unlocking: "Unlock by hand", raising: "Raise by hand", lowering: "Lower by hand",
            seating: "Seat by hand", locking: "Lock by hand" },
};

export function phaseWords({ lift }, phase) {
    return OTHERWISE[lift.kind]?.[phase] ?? PHASES[phase] ?? phase;
}

export function raiseWords({ lift }) {
    return lift.kind === "swing" ? { raise: "Swing open", lower: "Swing shut" } : { raise: "Raise", lower: "Lower" };
}

/** The sentence under the phase. */
export function waitWords(state) {
    if (state.fault) {
        return `${sentence(state.fault.words)}. Fix the cause, then acknowledge.`;
    }
    if (state.phase === "raising" || state.phase === "lowering") {
        return "The span is moving: keep clear.";
    }
    if (state.waits_for) {
        return `Waiting for: ${state.waits_for}`;
    }
    if (state.phase === "lined") {
        return "Trains may run.";
    }
    return state.phase === "open" ? "Boats may pass; no train may run." : "";
}

export function sentence(words) {
    return words ? words[0].toUpperCase() + words.slice(1) : "";
}

/** "32.4°" or "212 mm", "about" where nothing measures it; in words where the travel has no unit. */
export function placeWords({ lift, has }, place) {
    if (place == null) {
        return "position unknown";
    }
    if (lift.travel == null) {
        return place <= 0.01 ? "seated" : place >= 0.99 ? "open" : "in mid-travel";
    }
    const value = place * lift.travel;
    return (has.position ? "" : "about ") + (lift.unit === "mm" ? `${round(value, 0)} mm` : `${round(value, 1)}°`);
}

export function round(value, digits) {
    const written = value.toFixed(digits);
    return Number(written) === 0 ? (0).toFixed(digits) : written; // no "-0.0"
}

const two = (n) => String(n).padStart(2, "0");

/** Time of day on this tablet, "14:03:22". */
export function clockWords(ms) {
    const date = new Date(ms);
    return `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`;
}

/** The same with its day, where that is not the day of `now_ms`. */
export function dayWords(ms, now_ms) {
    const [date, now] = [new Date(ms), new Date(now_ms)];
    return date.toDateString() === now.toDateString() ? clockWords(ms)
        : `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())} ${clockWords(ms)}`;
}

/** "9 s", "4 min 05 s", "2 h 10 min". */
export function lengthWords(seconds) {
    const whole = Math.max(0, Math.round(seconds));
    if (whole < 60) {
        return `${whole} s`;
    }
    if (whole < 3600) {
        return `${Math.floor(whole / 60)} min ${two(whole % 60)} s`;
    }
    return `${Math.floor(whole / 3600)} h ${two(Math.floor(whole % 3600 / 60))} min`;
}

export function lockWords(lock, has) {
    const drive = has?.lock_drive && lock.drive !== "rest" ? `, being ${lock.drive}` : "";
    if (lock.locked === "on") {
        return `locked${drive === ", being withdrawn" ? drive : ""}`;
    }
    if (lock.withdrawn === "on") {
        return `withdrawn${drive === ", being driven" ? drive : ""}`;
    }
    if (lock.locked === "off" && lock.withdrawn === "absent") {
        return "not locked";
    }
    return `not proved${drive}`;
}

export function riverWords(river) {
    return { red: "red: closed", "red flashing": "red, flashing", green: "green: pass" }[river] ?? river;
}

/** Of the links to other nodes of LCC. */
export function linkWords(links) {
    return links === 1 ? "1 link" : links > 1 ? `${links} links` : "no link";
}

/** What the approach, its trains and its lock say. */
export function approachWords(end, has) {
    const lock = end.lock_left_s > 0 ? `approach locked ${lengthWords(end.lock_left_s)}` : null;
    if (end.approach == null) {
        return [has?.approach_detector ? "no reading" : "not watched", lock].filter(Boolean).join(", ");
    }
    const train = end.approach ? (end.standing ? "train standing" : "train") : "clear";
    return [train, lock].filter(Boolean).join(", ");
}

/** Of a stop section or the span's. */
export function sectionWords({ powered, occupied }) {
    const seen = occupied == null ? null : occupied ? "occupied" : "clear";
    return [powered ? "powered" : "dead", seen].filter(Boolean).join(", ");
}
