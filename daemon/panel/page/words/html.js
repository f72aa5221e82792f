// Making HTML elements without markup in strings: nothing that comes from outside is ever parsed.

export function element(name, { className, words, ...attributes } = {}, ...children) {
    const made = document.createElement(name);
    if (className) {
        made.className = className;
    }
    for (const [attribute, value] of Object.entries(attributes)) {
        if (value != null) {
            made.setAttribute(attribute, value);
        }
    }
    if (words != null) {
        made.textContent = words;
    }
    made.append(...children);
    return made;
}

/** Only what differs is written: a screen reader speaks of each change. */
export function say(target, words) {
    if (target.textContent !== words) {
        target.textContent = words;
    }
}

export function byId(id) {
    return document.getElementById(id);
}
