/* Motor heat and duty; fuse, wire and supply. */
#include "mechanics/drive/lead.h"
#include "mechanics/findings/topics.h"

#include <math.h>

static void ask_duty(const struct sizing_given *given, const struct sizing *sizing,
                     struct findings *findings, struct heat_state *hottest) {
    const struct builder_given *builder = &given->builder;
    struct duty_run up, down;
    *hottest = heat_cold(&builder->heat);
    if (!isfinite(sizing->up.duration_s) || !isfinite(sizing->down.duration_s)) {
        return;
    }
    duty_run(&given->chain, &sizing->up, CHAIN_UP, &up);
    duty_run(&given->chain, &sizing->down, CHAIN_DOWN, &down);
    struct duty_heat heat = duty_heat(&builder->heat, &builder->duty, &up, &down);
    *hottest = heat.hottest;
    findings_report(findings, FINDING_OPENINGS, builder->duty.openings);
    findings_report(findings, FINDING_COPPER_LOSS, up.copper_j + down.copper_j);
    findings_report(findings, FINDING_OTHER_LOSS, up.other_j + down.other_j);
    findings_report(findings, FINDING_CURRENT_RMS, fmax(up.rms_a, down.rms_a));
    findings_judge(findings, FINDING_WINDING_EVENING, heat.evening_c, -INFINITY,
                   builder->heat.limit_c);
    findings_report(findings, FINDING_WINDING_ENDLESS, heat.endless_c);
}

static void ask_stall(const struct sizing_given *given, const struct heat_state *hottest,
                      struct findings *findings) {
    const struct chain *chain = &given->chain;
    double supply_a = isnan(given->supply_a) ? INFINITY : given->supply_a;
    const struct heat_stall stall = {chain->supply_v, supply_a, chain->motor.resistance_ohm};
    double lasts_s = heat_stall_s(&given->builder.heat, &stall, *hottest);
    if (isnan(given->supply_a) && lasts_s < given->builder.stall_watch_s) {
        lasts_s = NAN; /* a small supply might spare it */
    }
    findings_report(findings, FINDING_STALL_CURRENT,
                    fmin(supply_a, chain->supply_v / chain->motor.resistance_ohm));
    findings_judge(findings, FINDING_STALL_WATCH_TIME, given->builder.stall_watch_s, -INFINITY,
                   lasts_s);
}

static void ask_lead(const struct sizing_given *given, const struct sizing *sizing,
                     struct findings *findings) {
    const struct builder_given *builder = &given->builder;
    double current_a = sizing->demand.current_a;
    double supply_v = given->chain.supply_v;
    double fuse_a = lead_fuse_a(current_a);
    bool is_given = !isnan(builder->wire_mm2);
    double wire_mm2 =
        is_given ? builder->wire_mm2 : lead_wire_mm2(current_a, fuse_a, builder->lead_m, supply_v);
    double loss_v = lead_loss_v(current_a, builder->lead_m, wire_mm2);
    findings_report(findings, FINDING_FUSE, fuse_a);
    if (is_given) {
        findings_judge(findings, FINDING_WIRE, wire_mm2, lead_carrying_mm2(fuse_a), INFINITY);
    } else {
        findings_report(findings, FINDING_WIRE, wire_mm2);
    }
    findings_judge(findings, FINDING_LEAD_LOSS, loss_v, -INFINITY, LEAD_LOSS_MOST * supply_v);
    findings_judge(findings, FINDING_SUPPLY_VOLTAGE, sizing->demand.full_most_v + loss_v, -INFINITY,
                   supply_v);
    findings_judge(findings, FINDING_SUPPLY_RATING, LEAD_SPARE * current_a, -INFINITY,
                   given->supply_a);
}

void topic_heat(const struct sizing_given *given, const struct sizing *sizing,
                struct findings *findings) {
    struct heat_state hottest;
    ask_duty(given, sizing, findings, &hottest);
    ask_stall(given, &hottest, findings);
    ask_lead(given, sizing, findings);
}
