// Volts and amperes of the lift's motor. What nobody tells is not known, and never 0.
import { byId, element, say } from "../words/html.js";
import { round } from "../words/words.js";

function greatest(values) {
    return values.filter((value) => value != null).reduce((most, value) => Math.max(most, value), 0);
}

// Null: no meter of the kind.
function meters({ has, throttle, stall_a, expected }) {
    const full_a = stall_a ?? 1.5 * greatest(expected ? [...expected.up_a, ...expected.down_a] : []);
    return has.lift ? [
        { name: "Volts", unit: "V", digits: 1, most: throttle?.supply_v, of: (state) => state.volts, what: "Voltage that the motor is told" },
        { name: "Amperes", unit: "A", digits: 2, most: full_a > 0 ? full_a : null, of: (state) => state.current_a, what: "Current of the motor" },
    ] : [];
}

function meter({ name, unit, digits, most, of, what }) {
    const bar = element("span", { className: "meter-bar" });
    const dial = element("span", { className: "meter-dial" }, bar);
    const value = element("span", { className: "meter-value" });
    const made = element("div", { className: "meter" }, element("span", { className: "meter-name", words: name }), value, dial);
    return {
        made,
        show(state) {
            const reading = of(state);
            const top = most ?? Math.max(1, reading ?? 0);
            const words = reading == null ? "not known" : `${round(reading, digits)} ${unit}`;
            say(value, words);
            made.classList.toggle("is-unknown", reading == null);
            const attributes = { role: "meter", "aria-label": what, "aria-valuemin": "0", "aria-valuemax": String(top),
                                 "aria-valuenow": reading == null ? null : String(Math.min(Math.abs(reading), top)), "aria-valuetext": words };
            for (const [key, told] of Object.entries(attributes)) {
                if (reading == null) { // a meter must have a value
                    dial.removeAttribute(key);
                } else {
                    dial.setAttribute(key, told);
                }
            }
            bar.style.width = reading == null ? "0" : `${100 * Math.min(1, Math.abs(reading) / top)}%`;
        },
    };
}

export function motorMeters(bridge) {
    const all = meters(bridge).map(meter);
    byId("meters").replaceChildren(...all.map(({ made }) => made));
    byId("meters").hidden = all.length === 0;
    return { show: (state) => all.forEach((one) => one.show(state)) };
}
