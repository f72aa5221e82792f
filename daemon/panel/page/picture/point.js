// Points of the bridge as [x, y] in metres, from the axis: x toward the toe, y up (from above: left).

export function turned([x, y], angle) {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    return [x * c - y * s, x * s + y * c];
}

export function moved([x, y], [dx, dy]) {
    return [x + dx, y + dy];
}

export function distance([ax, ay], [bx, by]) {
    return Math.hypot(bx - ax, by - ay);
}

/** The point `length` away from `from`, in the direction of `through`. */
export function along(from, through, length) {
    const whole = distance(from, through);
    return [from[0] + (through[0] - from[0]) * length / whole, from[1] + (through[1] - from[1]) * length / whole];
}

/** Points of a circle's arc about `centre`, both ends included; angles in radians. */
export function arc(centre, radius, from, to, steps = 24) {
    const points = [];
    for (let i = 0; i <= steps; i++) {
        const a = from + (to - from) * i / steps;
        points.push([centre[0] + radius * Math.cos(a), centre[1] + radius * Math.sin(a)]);
    }
    return points;
}

/** The smallest box around the points: {left, right, low, high}. */
export function bounds(points) {
    const box = { left: Infinity, right: -Infinity, low: Infinity, high: -Infinity };
    for (const [x, y] of points) {
        box.left = Math.min(box.left, x);
        box.right = Math.max(box.right, x);
        box.low = Math.min(box.low, y);
        box.high = Math.max(box.high, y);
    }
    return box;
}

/** The corners of a box, in order around it. */
export function corners(box) {
    return [[box.left, box.low], [box.right, box.low], [box.right, box.high], [box.left, box.high]];
}
