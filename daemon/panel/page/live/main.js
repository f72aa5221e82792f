// The page: what bridges there are, their states as they come, and the one that is shown.
import { link } from "../controls/asking.js";
import { chooser } from "./chooser.js";
import { emergency } from "../controls/emergency.js";
import { enter } from "./entry.js";
import { keepRoom } from "../controls/room.js";
import { byId, element } from "../words/html.js";
import { live } from "./live.js";
import { lostSign } from "./lost.js";
import { news } from "../history/news.js";
import { shownBridge } from "../words/shown.js";
import { sound } from "../sound/sound.js";
import { traces } from "../history/traces.js";

const RETRY_MS = 1000;

const sign = lostSign();
const told = news();
const sounds = sound();
let shown = null;
const stop = emergency(() => shown?.bridge ?? null);

// The bridges, when there is a server that tells them and it knows us.
async function bridgesOf() {
    for (;;) {
        try {
            const answer = await fetch("/bridges", { cache: "no-store" });
            if (answer.status === 401) {
                await enter();
                continue;
            }
            if (answer.ok) {
                return await answer.json();
            }
        } catch {
            // nobody there: it is said below, and tried again
        }
        sign.down(null);
        await new Promise((resume) => setTimeout(resume, RETRY_MS));
    }
}

// A daemon that was started again may have other bridges, or another page.
async function reloadIfOther(server) {
    const answer = await fetch("/bridges", { cache: "no-store" }).catch(() => null);
    if (answer?.ok && JSON.stringify(await answer.json()) !== JSON.stringify(server)) {
        location.reload();
    }
}

function showCautions(cautions) {
    if (cautions?.length > 0) {
        byId("cautions").replaceChildren(...cautions.map((words) => element("li", { words })));
    }
}

function run(server, again) {
    const states = new Map();
    const traced = new Map(server.bridges.map(({ bus }) => [bus, traces()]));
    let isLost = false;

    function show(bridge) {
        shown?.end();
        shown = shownBridge(bridge, server, traced.get(bridge.bus));
        stop.name(bridge);
        told.show(bridge.bus);
        sounds.silence();
        if (states.has(bridge.bus)) {
            shown.show(states.get(bridge.bus), true);
        }
        shown.lose(isLost);
    }

    byId("main").hidden = false;
    if (server.may !== "operate") {
        stop.deafen();
    }
    showCautions(server.cautions);
    const choice = chooser(server.bridges, show);
    const lose = (isNowLost) => {
        isLost = isNowLost;
        if (isLost) {
            sounds.silence();
        }
        shown.lose(isLost);
    };
    const connection = live({
        alive({ moment }) {
            link.moment = moment;
        },
        state(state) {
            states.set(state.bus, state);
            choice.show(state);
            const isTraced = traced.get(state.bus)?.take(state);
            if (state.bus === shown.bridge.bus) {
                shown.show(state, isTraced);
                sounds.hear(state);
            }
        },
        news: told.take,
        up() {
            sign.up();
            lose(false);
            reloadIfOther(server);
        },
        down(heard) {
            link.moment = null;
            sign.down(heard);
            lose(true);
        },
        // The daemon was started again and knows no cookie of before.
        unauthorised() {
            link.moment = null;
            sign.down(null);
            lose(true);
            choice.end();
            again();
        },
    });
    link.giveWay = connection.drop;
}

keepRoom();

async function begin() {
    run(await bridgesOf(), begin);
}
begin();
