/* written.h: a configuration as its author wrote it, in SI units: what tables.c reads into. NAN, or
 * FIELD_NO_NUMBER, stands for what is not given and has no default of its own. */
#ifndef CONFIG_WRITTEN_H
#define CONFIG_WRITTEN_H

#include "config/reader/fields.h"
#include "core/words/lines.h"
#include "effects/scene/setup.h"
#include "effects/sound/setup.h"
#include "io/link/link_setup.h"
#include "io/simulated/simulation_setup.h"
#include "io/wired/wired_setup.h"
#include "lcc/setup.h"
#include "mechanics/sizing.h"
#include "net/setup.h"
#include "panel/setup.h"
#include "records/setup.h"
#include "stand/setup.h"

#include <stdbool.h>

enum { WRITTEN_MASSES_MAX = 32 };

struct written_listener {
    struct written is;
    char address[NET_ADDRESS_SIZE];
    unsigned port;
    int right; /* enum net_right */
    char from[512];
    unsigned sessions, arrivals, lines;
};

struct written_listeners {
    struct written_list list;
    struct written_listener item[NET_LISTENERS_MAX];
};

struct written_panel {
    struct written is;
    char address[PANEL_ADDRESS_SIZE];
    unsigned port;
    int right; /* enum panel_right */
    char token_file[PANEL_PATH_SIZE];
    bool is_behind_tls;
    char names[PANEL_NAMES_SIZE];
    char from[512];
    unsigned clients;
};

struct written_panels {
    struct written_list list;
    struct written_panel item[PANEL_LISTENERS_MAX];
};

struct written_server {
    struct written is;
    struct written_listeners listeners;
    struct written_panels panels;
    unsigned sessions;
    double backlog_bytes;
    double handshake_s;
};

struct written_lcc_listener {
    struct written is;
    char address[LCC_HUB_ADDRESS_SIZE];
    unsigned port;
    int right; /* enum net_right */
    char from[512];
    unsigned clients;
};

struct written_lcc_listeners {
    struct written_list list;
    struct written_lcc_listener item[LCC_LISTENERS_MAX];
};

struct written_lcc_hub {
    struct written is;
    char address[LCC_HUB_ADDRESS_SIZE];
    unsigned port;
    int right; /* enum net_right */
};

struct written_lcc_hubs {
    struct written_list list;
    struct written_lcc_hub item[LCC_HUBS_MAX];
};

struct written_lcc_can {
    struct written is;
    char interface[LCC_INTERFACE_SIZE];
    int right; /* enum net_right */
};

struct written_lcc_cans {
    struct written_list list;
    struct written_lcc_can item[LCC_BUSES_MAX];
};

struct written_lcc {
    struct written is;
    struct written_lcc_listeners listen;
    struct written_lcc_hubs connect;
    struct written_lcc_cans can;
    char clock[32];
};

struct written_event {
    struct written is;
    char event[LCC_EVENT_NAME_SIZE];
    char id[32];
};

struct written_events {
    struct written_list list;
    struct written_event item[2 * LCC_STATES_MAX + LCC_REQUESTS_MAX];
};

struct written_node {
    struct written is;
    char node[32];
    bool obeys_bus;
    bool power;
    double beat_s;
    double stale_s;
    double obey_s;
    struct written_events events;
};

enum written_kind {
    WRITTEN_HAND = 0,
    WRITTEN_SECTOR,
    WRITTEN_STRUT,
    WRITTEN_ROLLING,
    WRITTEN_VERTICAL,
    WRITTEN_SWING,
};

struct written_lift {
    struct written is;
    int kind; /* enum written_kind */
    struct written_either travel;
    double radius_m;
    double strut_pin_m[2];
    double pinion_axis_m[2];
    double rack_offset_m;
    bool is_pinion_left;
    int rack; /* enum lift_rolling_drive */
    double drum_m;
    unsigned rope_parts;
    double pivot_bearing_m;
    double balance_wheels_m;
    unsigned wheels;
    bool is_track_toothed;
    double track_friction;
};

struct written_mass {
    struct written is;
    char what[NET_NAME_SIZE];
    double mass_kg;
    double at_m[2];
    double size_m[2];
};

struct written_masses {
    struct written_list list;
    struct written_mass item[WRITTEN_MASSES_MAX];
};

struct written_corner {
    struct written is;
    char what[NET_NAME_SIZE];
    double at_m[2];
};

struct written_outline {
    struct written_list list;
    struct written_corner item[SIZING_OUTLINE_MAX];
};

struct written_counterweight {
    struct written is;
    double mass_kg;
    double at_m[2];
    struct written_outline outline;
};

struct written_ropes {
    struct written is;
    unsigned count;
    double weight_kg_m;
    double span_side_m;
    double counterweight_side_m;
    bool is_chain;
    double diameter_m;
    double breaking_n;
    double modulus_pa;
    double sheave_m;
};

struct written_pocket {
    struct written is;
    char what[NET_NAME_SIZE];
    double at_m[2];
    double block_kg;
    unsigned most;
    unsigned holds;
};

struct written_pockets {
    struct written_list list;
    struct written_pocket item[POCKETS_MAX];
};

struct written_slide {
    struct written is;
    char what[NET_NAME_SIZE];
    double mass_kg;
    double from_m[2];
    double to_m[2];
    double at_m;
    double step_m;
};

struct written_slides {
    struct written_list list;
    struct written_slide item[SLIDES_MAX];
};

struct written_seat {
    struct written is;
    double least_n;
    double most_n;
    double angle_rad;
};

struct written_bearings {
    struct written is;
    unsigned count;
    double diameter_m;
    double length_m;
    double pressure_pa;
    double friction;
};

struct written_girders {
    struct written is;
    unsigned count;
    double width_m;
    double height_m;
    double wall_m;
    double modulus_pa;
    double weight_kg;
    double sag_m;
};

struct written_leaf {
    struct written is;
    struct written_outline outline;
    struct written_pockets pockets;
    struct written_slides slides;
    struct written_seat seat;
    struct written_masses masses;
    struct written_counterweight counterweight;
    struct written_ropes ropes;
    double inertia_kg_m2;
    double toe_m;
    double heel_m;
    double wedge_n;
    struct written_either friction;
    struct written_either starting_friction;
    struct written_bearings bearings;
    double push_n;
    struct written_girders girders;
    double overhang_m;
};

struct written_prototype {
    struct written is;
    double opening_s;
    double leaf_m;
};

struct written_tower {
    struct written is;
    double mass_kg;
    double centre_m;
    double height_m;
    double front_m;
    double back_m;
    double width_m;
    unsigned screws;
    double screw_n;
    double screws_m;
};

struct written_pinion {
    struct written is;
    unsigned teeth;
    double module_m;
    double face_m;
    double strength_pa;
};

struct written_gearbox {
    struct written is;
    double ratio;
    double efficiency;
    double play_rad;
};

struct written_worm {
    struct written is;
    double ratio;
    double lead_angle_rad;
    double pressure_angle_rad;
    double friction_least;
    double friction_most;
    double play_rad;
};

struct written_drive {
    struct written is;
    struct written_pinion pinion;
    struct written_gearbox planetary;
    struct written_worm worm;
    double rack_efficiency;
    double rack_play_m;
};

struct written_heat {
    struct written is;
    double to_case_k_w;
    double to_air_k_w;
    double winding_s;
    double case_s;
    double limit_c;
    double air_c;
};

struct written_motor {
    struct written is;
    double voltage_v;
    double no_load_rad_s;
    double no_load_a;
    double stall_nm;
    double stall_a;
    double rotor_inertia_kg_m2;
    double brake_nm;
    double rest_nm;
    struct written_heat heat;
};

struct written_supply {
    struct written is;
    double voltage_v;
    double current_a;
    double lead_m;
    double wire_m2;
};

struct written_evening {
    struct written is;
    unsigned openings;
    double every_s;
    double open_s;
};

struct written_motion {
    struct written is;
    struct written_either full_speed;
    struct written_either creep_speed;
    struct written_either acceleration;
    struct written_either deceleration;
    struct written_either slow_zone_seat;
    struct written_either slow_zone_open;
    double starting_effort;
    double full_effort;
    double push_effort;
    double push_s;
    struct written_either tolerance;
    struct written_either overtravel;
    struct written_either drift;
    struct written_either no_movement;
    double no_movement_s;
    double overspeed;
    double stall_a;
    double stall_s;
    double binding_a;
    double binding_s;
    double travel_limit_s;
    double seat_limit_s;
    int throttle_sets; /* 0: the speed, 1: the voltage */
};

struct written_lock {
    struct written is;
    bool is_driven;
    double limit_s;
};

struct written_contacts {
    struct written is;
    bool seated;
    bool locked;
    bool withdrawn;
    bool open;
    bool nearly_seated;
    bool nearly_open;
    bool overtravel;
    bool stop_circuit;
    unsigned rails;
    double debounce_s;
};

struct written_sensors {
    struct written is;
    bool position;
    bool current;
};

struct written_warning {
    struct written is;
    double least_s;
    double short_blast_s;
    double prolonged_blast_s;
    double gap_s;
};

struct written_voice {
    struct written is;
    int kind; /* enum sound_kind */
    char file[SOUND_FILE_SIZE];
    char when[SOUND_WHEN_SIZE];
    int plays; /* 1: once; -1: as usual for its kind */
    bool is_looped;
    double volume;
    double rest_pitch;
    double fade_in_s, fade_out_s;
};

struct written_voices {
    struct written_list list;
    struct written_voice item[SOUND_VOICES_MAX];
};

struct written_sound {
    struct written is;
    char device[SOUND_DEVICE_SIZE];
    double volume;
    char opening[SOUND_BLASTS_SIZE], closing[SOUND_BLASTS_SIZE];
    struct written_voices voices;
};

struct written_end {
    struct written is;
    char name[NET_NAME_SIZE];
    double approach_m;
    double stop_m;
    double grade;
    bool approach_detector;
    bool standing_detector;
    bool stop_detector;
    bool signal_proof;
    bool power_proof;
    bool is_automatic;
    double approach_lock_s;
    unsigned signal_address;
    unsigned approach_address;
    unsigned stop_address;
};

struct written_ends {
    struct written_list list;
    struct written_end item[TRACK_ENDS];
};

struct written_fastest {
    struct written is;
    double speed_m_s;
    double braking_m_s2;
    double coasting_m_s2;
    double reaction_s;
    double pickup_m;
    double margin_m;
    double slowest_m_s;
    double mass_kg;
    double length_m;
};

/* What stands for detectors that a track does not have. */
enum written_unwatched { WRITTEN_BY_TIME = 0, WRITTEN_BY_WORD };

struct written_track {
    struct written is;
    char name[NET_NAME_SIZE];
    struct written_ends ends;
    double span_m;
    bool span_detector;
    bool span_power_proof;
    unsigned span_address;
    struct written_fastest fastest;
    int unwatched; /* enum written_unwatched; -1: not given */
    double run_out_s;
};

struct written_tracks {
    struct written_list list;
    struct written_track item[BRIDGE_TRACKS_MAX];
};

struct written_timing {
    struct written is;
    double clear_s;
    double proof_limit_s;
    double clearing_limit_s;
};

struct written_addresses {
    struct written is;
    unsigned device[NET_DEVICES]; /* enum net_device_id */
    unsigned contacts, proofs;    /* the first of several */
};

struct written_contact_places {
    struct written is;
    struct written_either seated, nearly_seated, nearly_open, open, overtravel, rails, hysteresis;
};

struct written_train {
    struct written is;
    char name[SIMULATION_NAME_SIZE];
    char track[NET_NAME_SIZE];
    char from[NET_NAME_SIZE];
    double length_m;
    double pickup_m;
    double speed_m_s;
    double acceleration_m_s2;
    double braking_m_s2;
    double coasting_m_s2;
    double start_before_m;
    double start_s;
    double return_s;
    double set_back_s;
    double set_back_speed_m_s;
    bool ignores_signals;
};

struct written_trains {
    struct written_list list;
    struct written_train item[SIMULATION_TRAINS_MAX];
};

struct written_fault {
    struct written is;
    char words[SIMULATION_WORDS_SIZE];
    double after_s;
};

struct written_faults {
    struct written_list list;
    struct written_fault item[SIMULATION_FAULTS_MAX];
};

struct written_simulation {
    struct written is;
    double start_frac;
    bool starts_unlocked;
    double lock_travel_s;
    struct written_either hand_speed;
    struct written_either end_stop;
    struct written_either position_noise;
    struct written_either position_step;
    double current_noise_a;
    double current_step_a;
    double signal_delay_s;
    unsigned seed;
    struct written_contact_places contacts;
    struct written_trains trains;
    struct written_faults faults;
};

struct written_room {
    struct written is;
    double axis_height_m;
    double ceiling_m;
    double floor_m;
    double wall_m;
    double least_gap_m;
};

struct written_link_train {
    struct written is;
    unsigned bus;
    unsigned address;
    unsigned steps;
};

struct written_link_trains {
    struct written_list list;
    struct written_link_train item[LINK_TRAINS_MAX];
};

struct written_link {
    struct written is;
    char name[LINK_NAME_SIZE];
    char address[LINK_HOST_SIZE];
    unsigned port;
    double beat_s;
    double reply_s;
    double obey_s;
    double retry_least_s;
    double retry_most_s;
    double lock_s;
    struct written_link_trains trains;
};

struct written_links {
    struct written_list list;
    struct written_link item[LINKS_MAX];
};

struct written_line {
    struct written is;
    char input[LINE_NAME_SIZE];
    char output[LINE_NAME_SIZE];
    int when; /* enum line_when */
    char link[LINK_NAME_SIZE];
    unsigned bus;
    int group; /* enum link_group */
    unsigned address;
    unsigned port;
    unsigned off_port;
    unsigned on;
    char on_event[32];
    char off_event[32];
};

struct written_lines {
    struct written_list list;
    struct written_line item[LINK_LINES_MAX];
};

struct written_chip {
    struct written is;
    char name[WIRED_NAME_SIZE];
    char device[WIRED_PATH_SIZE];
    double poll_s; /* 0: by its edges */
};

struct written_chips {
    struct written_list list;
    struct written_chip item[WIRED_CHIPS_MAX];
};

struct written_pin {
    struct written is;
    char chip[WIRED_NAME_SIZE];
    unsigned offset;
    int active; /* 0 high, 1 low */
    int pull;   /* enum wired_pull */
};

struct written_wired_input {
    struct written is;
    char input[LINE_NAME_SIZE];
    struct written_pin pin;
    struct written_pin second;
    double differ_s;
};

struct written_wired_inputs {
    struct written_list list;
    struct written_wired_input item[WIRED_INPUTS_MAX];
};

struct written_wired_output {
    struct written is;
    char output[LINE_NAME_SIZE];
    int when; /* enum line_when */
    struct written_pin pin;
};

struct written_wired_outputs {
    struct written_list list;
    struct written_wired_output item[WIRED_OUTPUTS_MAX];
};

struct written_pwm {
    struct written is;
    char chip[WIRED_PATH_SIZE];
    unsigned channel;
    double period_s;
    bool is_inversed;
};

struct written_scene_pin {
    struct written is;
    char device[WIRED_PATH_SIZE];
    unsigned offset;
    int active; /* 0 high, 1 low */
};

struct written_scene_output {
    struct written is;
    char name[WIRED_NAME_SIZE];
    char when[SCENE_WHEN_SIZE];
    double delay_s, linger_s, fade_s;
    double flash_s; /* NAN: steady */
    double level;
    int hours; /* enum scene_hours */
    struct written_scene_pin pin;
    struct written_pwm pwm;
};

struct written_scene_outputs {
    struct written_list list;
    struct written_scene_output item[SCENE_OUTPUTS_MAX];
};

struct written_scene {
    struct written is;
    char dawn[8], dusk[8];
    double twilight_s;
    struct written_scene_outputs outputs;
};

struct written_greeting {
    struct written is;
    char line[WIRED_TEMPLATE_SIZE];
};

struct written_greetings {
    struct written_list list;
    struct written_greeting item[WIRED_GREETINGS_MAX];
};

struct written_serial {
    struct written is;
    char device[WIRED_PATH_SIZE];
    int baud; /* index */
    unsigned full;
    struct written_greetings greetings;
    char drive[WIRED_TEMPLATE_SIZE];
    char stop[WIRED_TEMPLATE_SIZE];
    char raise_word[16], lower_word[16];
    char reply[WIRED_TEMPLATE_SIZE];
    double reply_s;
    double repeat_s;
};

struct written_power_stage {
    struct written is;
    int kind; /* enum wired_motor_kind, less one */
    struct written_pwm pwm, lower_pwm;
    struct written_pin raise, lower, direction, enable;
    double dead_s;
    double arming_s;
    double neutral_s, full_raise_s, full_lower_s;
    double least_effort;
    struct written_serial serial;
};

struct written_lock_servo {
    struct written is;
    struct written_pwm pwm;
    double driven_s, withdrawn_s;
};

struct written_position {
    struct written is;
    int kind; /* enum wired_sensor_kind, less one */
    char device[WIRED_PATH_SIZE];
    char channel[WIRED_NAME_SIZE];
    double seat_v, open_v, least_v, most_v;
    struct written_either jump;
    double frozen_s;
    double poll_s;
    struct written_pin a, b;
    unsigned counts;
};

struct written_current {
    struct written is;
    int kind;
    char device[WIRED_PATH_SIZE];
    char channel[WIRED_NAME_SIZE];
    struct written_either zero, one;
    double least_a, most_a;
    double frozen_s;
    double poll_s;
};

struct written_heartbeat {
    struct written is;
    struct written_pin pin;
    double half_s;
};

struct written_wired {
    struct written is;
    struct written_chips chips;
    struct written_wired_inputs inputs;
    struct written_wired_outputs outputs;
    struct written_power_stage stage;
    struct written_lock_servo servo;
    struct written_position position;
    struct written_current current;
    struct written_heartbeat heartbeat;
};

struct written_stand_device {
    struct written is;
    char name[WIRED_NAME_SIZE];
    char device[WIRED_PATH_SIZE];
    bool is_shared;
};

struct written_stand_devices {
    struct written_list list;
    struct written_stand_device item[STAND_DEVICES_MAX];
};

struct written_control {
    struct written is;
    int kind; /* enum stand_control_kind */
    struct written_pin pin, second;
    double differ_s;
    char device[WIRED_NAME_SIZE];
    char key[32];
    double debounce_s;
    double stuck_s;
};

struct written_controls {
    struct written_list list;
    struct written_control item[STAND_CONTROLS_MAX];
};

struct written_throttle {
    struct written is;
    int kind; /* enum stand_throttle_kind, less one */
    int sets; /* 1: the voltage */
    double dead_share;
    char device[WIRED_PATH_SIZE];
    char channel[WIRED_NAME_SIZE];
    double down_v, rest_v, up_v, least_v, most_v;
    double poll_s;
    int axis; /* index in the words */
    bool is_inversed;
    double step_share;
};

struct written_row {
    struct written is;
    char name[WIRED_NAME_SIZE];
    int kind; /* enum stand_row_kind */
    char device[WIRED_PATH_SIZE];
    unsigned places;
    unsigned hertz;
    double brightness;
    bool is_inversed;
};

struct written_rows {
    struct written_list list;
    struct written_row item[STAND_ROWS_MAX];
};

struct written_lamp {
    struct written is;
    char shows[LINE_NAME_SIZE];
    struct written_pin pin;
    char row[WIRED_NAME_SIZE];
    unsigned place;
    int colour; /* enum stand_colour */
};

struct written_lamps {
    struct written_list list;
    struct written_lamp item[STAND_LAMPS_MAX];
};

struct written_stand {
    struct written is;
    struct written_chips chips;
    struct written_stand_devices devices;
    struct written_controls controls;
    struct written_throttle throttle;
    struct written_rows rows;
    struct written_lamps lamps;
};

struct written_bridge {
    struct written is;
    char name[NET_NAME_SIZE];
    unsigned bus;
    char output[32];
    bool waits_for_power;
    struct written_links links;
    struct written_lines lines;
    struct written_wired wired;
    struct written_stand stand;
    struct written_addresses addresses;
    struct written_node node;
    struct written_lift lift;
    struct written_leaf leaf;
    struct written_room room;
    struct written_drive drive;
    struct written_motor motor;
    struct written_supply supply;
    double scale;
    struct written_prototype prototype;
    double joint_m;
    struct written_tower tower;
    struct written_evening evening;
    struct written_motion motion;
    struct written_lock lock;
    struct written_contacts contacts;
    struct written_sensors sensors;
    struct written_warning warning;
    struct written_sound sound;
    struct written_scene scene;
    struct written_timing timing;
    struct written_tracks tracks;
    struct written_simulation simulation;
};

struct written_bridges {
    struct written_list list;
    struct written_bridge item[NET_BRIDGES_MAX];
};

struct written_record {
    struct written is;
    char file[RECORD_FILE_SIZE];
    double keep_s;
    double most_bytes;
    double write_s;
    unsigned service_openings;
    double service_s;
};

struct written_config {
    struct written is;
    struct written_server server;
    struct written_record record;
    struct written_lcc lcc;
    struct written_bridges bridges;
};

#endif
