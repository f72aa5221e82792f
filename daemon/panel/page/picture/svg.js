// Making SVG elements. Their looks are the style sheets' business, by class: the page's policy allows
// no style attributes.

const SVG = "http://www.w3.org/2000/svg";

export function shape(name, attributes = {}, ...children) {
    const element = document.createElementNS(SVG, name);
    set(element, attributes);
    element.append(...children);
    return element;
}

/** Sets what has changed; a null takes the attribute away. */
export function set(element, attributes) {
    for (const [name, value] of Object.entries(attributes)) {
        if (value == null) {
            element.removeAttribute(name);
        } else if (element.getAttribute(name) !== String(value)) {
            element.setAttribute(name, value);
        }
    }
    return element;
}

const number = (n) => Math.round(n * 100) / 100;

export function list(points) {
    return points.map(([x, y]) => `${number(x)},${number(y)}`).join(" ");
}

export function line([x1, y1], [x2, y2]) {
    return { x1: number(x1), y1: number(y1), x2: number(x2), y2: number(y2) };
}

export function circle([cx, cy], r) {
    return { cx: number(cx), cy: number(cy), r: number(r) };
}

export function group(className, ...children) {
    return shape("g", { class: className }, ...children);
}

export function text([x, y], words, className, anchor = "middle") {
    return shape("text", { x: number(x), y: number(y), class: className, "text-anchor": anchor }, words);
}
