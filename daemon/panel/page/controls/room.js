// The room that the emergency stop and the line above leave for the controls, and a sign while more lies below.
import { byId } from "../words/html.js";

/** Measures from now on; layout.css says what follows from it. */
export function keepRoom() {
    const controls = byId("controls");
    const measured = [["--emergency-height", document.querySelector(".emergency")], ["--top-height", document.querySelector(".top")]];

    function sign() {
        controls.classList.toggle("has-more", controls.scrollHeight - controls.scrollTop - controls.clientHeight > 2);
    }

    const sizes = new ResizeObserver(() => {
        for (const [name, { offsetHeight }] of measured) {
            document.documentElement.style.setProperty(name, `${offsetHeight}px`);
        }
        sign();
    });
    for (const element of [...measured.map(([, element]) => element), controls, ...controls.children]) {
        sizes.observe(element);
    }
    controls.addEventListener("scroll", sign, { passive: true });
}
