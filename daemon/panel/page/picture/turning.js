// A leaf that turns about a fixed axis: by a toothed sector, by an operating strut, or by hand.
import { along, arc, distance, turned } from "./point.js";
import { bracing, outlineOf, railHeight, weightOf } from "./span.js";

const SECTOR_PINION = Math.PI * 1.2; // bearing of a sector's pinion, which no configuration tells
const STEPS = 24;

// The rack is a rigid bar: as long as pin and pinion are ever apart, and a little more.
function rackLength(strut, travel) {
    let longest = 0;
    for (let i = 0; i <= STEPS; i++) {
        longest = Math.max(longest, distance(turned(strut.pin, travel * i / STEPS), strut.pinion));
    }
    return 1.06 * longest;
}

function strutParts(strut, travel, angle) {
    const pin = turned(strut.pin, angle);
    return {
        bars: [{ what: "rack", from: pin, to: along(pin, strut.pinion, rackLength(strut, travel)) }],
        wheels: [{ what: "pinion", at: strut.pinion, radius: strut.pinion_radius_m, angle: 0 },
                 { what: "pin", at: pin, radius: 0, angle }],
    };
}

function sectorParts(radius, travel, angle) {
    const pinion = 0.12 * radius;
    const away = radius + pinion;
    return {
        arcs: [{ what: "teeth", points: arc([0, 0], radius, SECTOR_PINION - travel - 0.1 + angle, SECTOR_PINION + 0.1 + angle) }],
        wheels: [{ what: "pinion", at: [away * Math.cos(SECTOR_PINION), away * Math.sin(SECTOR_PINION)], radius: pinion, angle: 0 }],
    };
}

function liftParts({ lift }, travel, angle) {
    if (lift.strut) {
        return strutParts(lift.strut, travel, angle);
    }
    return lift.kind === "sector" && lift.rack_radius_m ? sectorParts(lift.rack_radius_m, travel, angle) : {};
}

/** `travel` in radians, `part` of it: 0 seated, 1 open. */
export function turningPose(bridge, travel, part) {
    const angle = travel * part;
    const outline = outlineOf(bridge.leaf);
    const toe = Math.max(...outline.map(([x]) => x));
    const deck = railHeight(outline);
    const weight = weightOf(bridge.leaf);
    const all = (points) => points.map((point) => turned(point, angle));
    return {
        leaf: all(outline),
        deck: all([[0, deck], [toe, deck]]),
        bracing: bracing(outline, 0, toe).map(all),
        weights: weight ? [all(weight)] : [],
        axis: [0, 0],
        ...liftParts(bridge, travel, angle),
    };
}
