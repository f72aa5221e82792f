// The tracks as the picture from the side shows them: one line stands for all of them, and it tells
// the most restrictive of what they are.

const any = (values) => (values.some((v) => v === true) ? true : values.some((v) => v == null) ? null : false);

function mergedEnd(ends) {
    const used = ends.filter((end) => end != null);
    return used.length === 0 ? null : {
        approach: any(used.map((end) => end.approach)),
        stop: {
            powered: used.every((end) => end.stop.powered),
            occupied: any(used.map((end) => end.stop.occupied)),
        },
    };
}

export function merged(tracks) {
    return {
        span: {
            powered: tracks.every((track) => track.span.powered),
            occupied: any(tracks.map((track) => track.span.occupied)),
        },
        ends: [0, 1].map((i) => mergedEnd(tracks.map((track) => track.ends[i]))),
    };
}
