// What is to be heard of a bridge: from its state, and the one before.

/** `before`: null if there is none, or it is too old to tell what has changed since. */
export function heardOf(before, state) {
    return {
        horn: state.horn === true,
        motor: Math.min(Math.abs(state.effort ?? 0), 1), // of full effort; 0: silent
        seating: before?.contacts?.seated === "off" && state.contacts?.seated === "on",
    };
}
