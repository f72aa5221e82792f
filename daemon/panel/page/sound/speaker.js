// Horn, motor and seat as the browser's own oscillators: nothing is loaded.

const CHORD_HZ = [277.2, 349.2, 415.3]; // as the daemon's horn
const FADE_S = 0.03;

function voice(context, kind, hertz) {
    const gain = context.createGain();
    gain.gain.value = 0;
    gain.connect(context.destination);
    const oscillators = hertz.map((frequency) => {
        const oscillator = context.createOscillator();
        oscillator.type = kind;
        oscillator.frequency.value = frequency;
        oscillator.connect(gain);
        oscillator.start();
        return oscillator;
    });
    return {
        loud: (level) => gain.gain.setTargetAtTime(level, context.currentTime, FADE_S),
        pitch: (frequency) => oscillators[0].frequency.setTargetAtTime(frequency, context.currentTime, FADE_S),
        strike(level) {
            gain.gain.setValueAtTime(level, context.currentTime);
            gain.gain.setTargetAtTime(0, context.currentTime, 0.12);
        },
    };
}

/** `context`: an AudioContext. It sounds as it is told last. */
export function speaker(context) {
    const horn = voice(context, "triangle", CHORD_HZ);
    const motor = voice(context, "sawtooth", [60]);
    const seat = voice(context, "sine", [66]);
    return {
        hear(heard) {
            horn.loud(heard.horn ? 0.12 : 0);
            motor.loud(heard.motor > 0 ? 0.05 : 0);
            motor.pitch(60 + 90 * heard.motor);
            if (heard.seating) {
                seat.strike(0.5);
            }
        },
        end: () => context.close(),
    };
}
