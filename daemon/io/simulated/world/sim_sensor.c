#include "io/simulated/world/sim_sensor.h"

#include <math.h>

static const double two_pi = 6.283185307179586;

/* splitmix64's finishing step (Steele, Lea and Flood 2014, from memory). */
static uint64_t mixed(uint64_t x) {
    x += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

/* In (0, 1]. */
static double uniform(uint64_t x) {
    return (double)((x >> 11) + 1) / 9007199254740992.0; /* 2^53 */
}

double sim_sensor_noise(uint64_t seed, enum sim_sensor_channel channel, uint64_t time_us) {
    uint64_t a = mixed(mixed(seed + (uint64_t)channel) ^ time_us);
    uint64_t b = mixed(a);
    return sqrt(-2 * log(uniform(a))) * cos(two_pi * uniform(b));
}

double sim_sensor_read(double value, double noise, double quantum, uint64_t seed,
                       enum sim_sensor_channel channel, uint64_t time_us) {
    if (noise > 0) {
        value += noise * sim_sensor_noise(seed, channel, time_us);
    }
    return quantum > 0 ? quantum * round(value / quantum) : value;
}
