// The current over the way, as it was reported: of the newest way up and the newest way down.

const MOST = 1200; // points of one way: a slow bridge at twelve reports a second
const PHASES = { raising: "up", lowering: "down", seating: "down" };

/** Pure but for its own memory: `take(state)` tells whether there is something new to draw. */
export function traces() {
    const ways = { up: [], down: [] };
    let way = null;
    return {
        ways,
        get way() {
            return way;
        },
        take(state) {
            const next = PHASES[state.phase] ?? null;
            if (next && next !== way) {
                ways[next] = [];
            }
            way = next ?? (state.phase === "held" ? way : null);
            if (!next || state.current_a == null || state.position == null || ways[next].length >= MOST) {
                return false;
            }
            ways[next].push([state.position, state.current_a]);
            return true;
        },
    };
}
