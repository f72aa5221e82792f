// How far what is heard lies behind: a slow link queues pictures, and all that come are old.

const DRIFT_MS = 0.2; // the clocks of tablet and daemon, for each report

/** Of one connection: `lag(told_ms, now_ms)` is how much later this came than the promptest, in ms. */
export function lagOf() {
    let least = Infinity;
    return (told_ms, now_ms) => {
        least = Math.min(least + DRIFT_MS, now_ms - told_ms);
        return now_ms - told_ms - least;
    };
}
