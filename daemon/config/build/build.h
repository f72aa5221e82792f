/* build.h: from what was written to what the daemon's parts need, and whether it fits together.
 * Each build_*() fills its part of one bridge and complains of what does not fit, with its place.
 * They are called in the order given here, also where reading has found mistakes: a complaint about
 * a place, or an object, that there is a complaint about already is left out. */
#ifndef CONFIG_BUILD_H
#define CONFIG_BUILD_H

#include "config/settings.h"
#include "config/tables/written.h"
#include "mechanics/lift/chain.h"
#include "mechanics/lift/travel.h"
#include "mechanics/trains/train_stop.h"

#include <stdbool.h>
#include <stdint.h>

struct build {
    const struct written_bridge *written;
    struct config_bridge *bridge;
    struct net_bridge_setup *net;
    struct config_report *report;
    unsigned index;       /* of the bridge */
    bool is_travel_known; /* written->lift.travel is right for the kind of lift */
    struct chain chain;   /* by build_lift(): of what is not missing */
    unsigned missing;     /* by build_lift(): enum sizing_part */
};

/* `place` is relative to the bridge: "/lift/travel"; "" is the bridge itself. build_error() returns
 * false. */
bool build_error(const struct build *build, const char *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* The same for what is written well, but would not work: see config_report.misfits. */
/* The same for what is not there: see config_report.missing. */
bool build_missing(const struct build *build, const char *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void build_misfit(const struct build *build, const char *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void build_warning(const struct build *build, const char *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* false: the file does not say it well; then nothing that depends on it can be said. */
bool build_is_kind_known(const struct build *build);
bool build_is_hand(const struct build *build);
bool build_is_vertical(const struct build *build);

/* Whether something has been found wrong with this bridge so far. */
bool build_has_errors(const struct build *build);

/* `written`, an angle or a length (or their rates), as a part of the whole travel; `otherwise` if
 * it is not given, is the wrong one of the two for this lift (then it complains), or the travel is
 * not known. */
double build_fraction(const struct build *build, const struct written_either *written,
                      const char *place, double otherwise);

/* Seconds, at most an hour or so: the tables say how many. */
uint32_t build_us(double seconds);

/* "127.0.0.1", "::1". */
bool build_is_numeric(const char *address);

/* A formatted place. */
struct place {
    char text[96];
};
struct place build_place(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* The worst train under control; and, once all of its pickup is on the dead section, without power;
 * on this grade. */
struct train build_train_braked(const struct written_fastest *train, double grade);
struct train build_train_dead(const struct written_fastest *train, double grade);

/* The law of speed that the core follows with this setup. */
struct travel_law build_travel_law(const struct motion_setup *motion);

/* The motor's current while the lift is held fast and driven at creep speed. */
double build_stalled_a(const struct build *build, const struct motion_setup *motion);

/* The network side, common to all bridges. */
void build_server(const struct written_server *written, struct net_setup *net,
                  struct config_report *report);

/* The pages for browsers. */
void build_panel(const struct written_server *written, const struct net_setup *net,
                 struct panel_setup *panel, struct config_report *report);

/* The links to an LCC bus; a bridge as a node there; whether there is one. */
void build_lcc_links(const struct written_lcc *written, struct net_setup *net,
                     struct lcc_setup *lcc, struct config_report *report);
void build_lcc(const struct build *build, struct lcc_setup *lcc);
void build_lcc_check(const struct lcc_setup *lcc, unsigned bridges, struct config_report *report);
/* Once all bridges are known: no scene may have a line or channel of a bridge, or another's. */
void build_scene_check(const struct config *config, struct config_report *report);
/* Called by build_lcc(): the events of a bridge whose node id is known. */
void build_lcc_events(const struct build *build, struct lcc_bridge_setup *lcc);

/* Networks parted by blanks: at most `most` of them; returns how many. */
unsigned build_networks(const char *written, const char *place, struct network *network,
                        unsigned most, struct config_report *report);

/* The line of this bridge with this name, where a space in a name of the configuration may be
 * written as a hyphen; otherwise a complaint of `place`. */
bool build_find_input(const struct build *build, const char *place, const char *written,
                      unsigned *number);
bool build_find_output(const struct build *build, const char *place, const char *written,
                       unsigned *number);

/* What sounds and scenes follow, "lowering, not train", into `wanted`; otherwise a complaint of
 * `place`. */
bool build_condition(const struct build *build, const char *place, const char *written,
                     struct condition_wanted *wanted);

/* Whether an output has such a device: one, or one for each state that needs one. */
bool build_may_be(unsigned output, enum line_when when);

/* That nobody serves these lines; one complaint of inputs, and one of outputs. */
void build_complain_of_missing(const struct build *build, const char *place, struct line_set lines);

/* The record; without one nothing is recorded. */
void build_record(const struct written_record *written, struct record_setup *record);

/* A sliding weight as it is written. */
struct slide build_slide(const struct written_slide *written);

/* All of one bridge but its node of LCC, for which it returns what was worked out. */
struct build build_bridge(const struct written_config *written, unsigned index,
                          struct config *config, struct config_report *report);

/* Called by build_bridge(), in its order. */
void build_lift(struct build *build);
void build_tracks(struct build *build);
/* Called by build_tracks(): what stands for sections without a detector, and the clearing limit. */
void build_unwatched(struct build *build);
void build_core(struct build *build);
/* Called by build_core() once all else is known: conditions that nothing guards. */
void build_guards(const struct build *build);
void build_motion(struct build *build);
void build_net(struct build *build);
void build_simulation(struct build *build);
void build_lines(struct build *build);
/* Called by build_lines(): line `i` of those written is another node's; its events; it is served
 * so; all of them are there. What returns false has complained. */
bool build_is_node_line(const struct written_line *line);
bool build_node_events(const struct build *build, unsigned i, uint64_t event[2]);
bool build_node_input(const struct build *build, unsigned i, unsigned line,
                      const uint64_t event[2]);
bool build_node_output(const struct build *build, unsigned i, unsigned line,
                       const uint64_t event[2]);
void build_nodes(const struct build *build);
void build_wired(struct build *build);
/* Called by build_wired(): what the terminals cannot do, or would do for two. */
void build_wired_check(const struct build *build);
/* Whether this line of one of these chips is one of `setup`, too. */
bool build_wired_has_pin(const struct wired_setup *setup, const struct wired_chip chips[],
                         const struct wired_pin *pin);
/* Called once the terminals are known. */
void build_stand(struct build *build);
/* Called once all outputs are known. */
void build_sound(struct build *build);
void build_scene(struct build *build);
void build_sizing(struct build *build);
void build_builder(struct build *build);

#endif
