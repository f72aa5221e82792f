// Rails, trains and home signals in the picture. A section's line: solid with power, broken when dead,
// heavy and with a train when occupied.
import { lamp } from "./lamps.js";
import { train } from "./rolling_stock.js";
import { group, line, set, shape } from "./svg.js";
import { merged } from "./tracks.js";

const SIGNAL = 20; // picture units, as all below
const MAST = 40;

function mark(element, section) {
    element.classList.toggle("is-powered", section.powered);
    element.classList.toggle("is-dead", !section.powered);
    element.classList.toggle("is-occupied", section.occupied === true);
}

function show(element, isShown) {
    set(element, { visibility: isShown ? "visible" : "hidden" });
}

// Of one end: its two lines, and a train on each.
function endOfTrack(fit, place, base, size, isFromAbove) {
    const [gap, signal, out] = [place.gap, place.signal, place.out].map((x) => fit.at([x, 0])[0]);
    const between = (a, b) => [Math.min(a, b), Math.max(a, b)];
    const stop = shape("line", { ...line([gap, base], [signal, base]), class: "rail" });
    const approach = shape("line", { ...line([signal, base], [out, base]), class: "rail is-powered" });
    const onStop = train(...between(gap, signal), base, size, isFromAbove);
    const coming = train(...between(signal + Math.sign(out - signal) * SIGNAL, out), base, size, isFromAbove);
    return {
        element: group("end", approach, stop, coming, onStop),
        show(end) {
            mark(stop, end.stop);
            mark(approach, { powered: true, occupied: end.approach });
            show(onStop, end.stop.occupied === true);
            show(coming, end.approach === true);
        },
    };
}

function homeSignal(fit, place, base, i, k, isFromAbove) {
    const [x] = fit.at([place.signal, 0]);
    const out = i === 0 ? -1 : 1;
    if (isFromAbove) {
        const head = lamp([x, base + out * SIGNAL * 1.05], SIGNAL, "signal");
        return { ...head, element: group("home", head.element) };
    }
    const at = [x + out * k * SIGNAL * 1.25, base - MAST];
    const head = lamp(at, SIGNAL, "signal");
    const mast = shape("line", { ...line([at[0], base], at), class: "mast" });
    return { ...head, element: group("home", mast, head.element) };
}

// The span's own section and train, turned with the deck.
function onSpan(fit, base, size, isFromAbove) {
    const rail = shape("line", { class: "rail" });
    const stock = group("span-train");
    return {
        element: group("span-rail", rail, stock),
        place([from, to], shift) {
            const [a, b] = [fit.at(from), fit.at(to)];
            const angle = Math.atan2(b[1] - a[1], b[0] - a[0]);
            const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
            set(rail, { ...line([0, shift], [length, shift]) });
            set(rail.parentNode, { transform: `translate(${a[0].toFixed(2)} ${a[1].toFixed(2)}) rotate(${(angle * 180 / Math.PI).toFixed(3)})` });
            if (!stock.firstChild) {
                stock.append(train(0.2 * length, 0.9 * length, shift, size, isFromAbove));
            }
        },
        show(span) {
            mark(rail, span);
            show(stock, span.occupied === true);
        },
    };
}

/** All tracks; from the side one line for all. `still` is drawn behind the span, `onSpan` with it. */
export function rails(fit, scene, bridge) {
    const length = (scene.gap[1] - scene.gap[0]) * fit.scale;
    const size = Math.min(34, Math.max(13, 0.075 * length));
    const { isFromAbove } = scene;
    const lines = isFromAbove ? bridge.tracks : bridge.tracks.slice(0, 1);
    const [, deck] = fit.at([0, scene.deck]);
    const spread = isFromAbove ? Math.max(2.6 * SIGNAL, Math.min(1.2 * scene.half * fit.scale, 90)) : 0;
    const shift = (k) => (k - (lines.length - 1) / 2) * (lines.length > 1 ? spread : 0);
    const tracks = lines.map((_, k) => ({
        ends: scene.ends.map((place) => endOfTrack(fit, place, deck + shift(k), isFromAbove ? 0.7 * size : size, isFromAbove)),
        span: onSpan(fit, deck, isFromAbove ? 0.7 * size : size, isFromAbove),
    }));
    const signals = bridge.tracks.map((track, k) => track.ends.map((end, i) =>
        (end ? homeSignal(fit, scene.ends[i], deck + (isFromAbove ? shift(k) : 0), i, k, isFromAbove) : null)));
    return {
        still: group("rails", ...tracks.flatMap((t) => t.ends.map((e) => e.element)), ...signals.flat().filter(Boolean).map((s) => s.element)),
        span: group("rails", ...tracks.map((t) => t.span.element)),
        place: (pose) => tracks.forEach((track, k) => track.span.place(pose.deck, shift(k))),
        show(state) {
            const shown = isFromAbove ? state.tracks : [merged(state.tracks)];
            tracks.forEach((track, k) => {
                track.span.show(shown[k].span);
                track.ends.forEach((end, i) => {
                    show(end.element, shown[k].ends[i] != null);
                    if (shown[k].ends[i]) {
                        end.show(shown[k].ends[i]);
                    }
                });
            });
            signals.forEach((ends, k) => ends.forEach((signal, i) => {
                const end = state.tracks[k].ends[i];
                if (signal && end) {
                    signal.show({ isGo: end.signal === "proceed", isProved: end.signal === "proceed" || end.signal_proved === "on" || end.signal_proved === "absent" });
                }
            }));
        },
    };
}
