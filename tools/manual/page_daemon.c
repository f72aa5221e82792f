/* drawtenderd(8). */
#include "daemon/process/options.h"
#include "tools/manual/pages.h"
#include "tools/manual/roff.h"

static void print_options(FILE *out) {
    for (size_t i = 0; i < options_table.rows; i++) {
        const struct option_row *row = &options_table.row[i];
        char form[128];
        char text[768];
        snprintf(form, sizeof form, "%s%s%s", row->name, row->argument != NULL ? " " : "",
                 row->argument != NULL ? row->argument : "");
        snprintf(text, sizeof text, "%s%s%s%s", row->what,
                 row->usual != NULL ? " (without it: " : "", row->usual != NULL ? row->usual : "",
                 row->usual != NULL ? ")." : ".");
        roff_item(out, form);
        roff_text(out, text);
    }
}

static void print_exits(FILE *out) {
    for (size_t i = 0; i < options_exits_count; i++) {
        char code[16];
        snprintf(code, sizeof code, "%d", options_exits[i].status);
        roff_item(out, code);
        roff_text(out, options_exits[i].what);
    }
}

static void print_service(FILE *out) {
    roff_section(out, "AS A SERVICE");
    roff_text(out, "The unit `drawtenderd.service` runs the daemon with "
                   "`/etc/drawtender/bridge.json`. Installing the program starts nothing and "
                   "writes no such file. In this order:");
    roff_literal(out, "drawtenderd --config /etc/drawtender/bridge.json --check\n"
                      "drawtenderd --config /etc/drawtender/bridge.json --wiring\n"
                      "systemctl enable --now drawtenderd\n");
    roff_paragraph(out, "Options such as `--realtime` belong in `/etc/default/drawtenderd`. The "
                        "daemon tells the service manager when it is ready and that it is alive; "
                        "one that hangs is killed and restarted, unproved and with its outputs "
                        "safe. A daemon that died on errors in the configuration (64, 66, 78) "
                        "is not started again.");
}

void page_daemon(FILE *out) {
    roff_section(out, "SYNOPSIS");
    fputs(".B drawtenderd\n.RI [ OPTION ...]\n", out);
    roff_section(out, "DESCRIPTION");
    roff_text(out,
              "Takes commands of SRCP 0.8.4 over TCP, interlocks each span with its home signals "
              "and its track power, and drives its lift. A span moves only while every signal is "
              "proved at stop, the track is without power and clear, and the lock is withdrawn; "
              "trains run only while it is proved seated, locked and in line. When it is told to "
              "exit it first puts every output into its safe state.");
    roff_paragraph(out, "With a panel in its configuration it also serves a page for browsers, and "
                        "with a record it keeps what happened.");
    roff_section(out, "OPTIONS");
    print_options(out);
    roff_section(out, "SIGNALS");
    roff_text(out, options_ending);
    print_service(out);
    roff_section(out, "FILES");
    roff_item(out, "/etc/drawtender/bridge.json");
    roff_text(out, "the configuration that the service runs; see `drawtender.json(5)`.");
    roff_item(out, "/etc/default/drawtenderd");
    roff_text(out, "more options for the service.");
    roff_item(out, "/var/lib/drawtender/");
    roff_text(out, "where the service may write, for example a record.");
    roff_item(out, "/run/drawtender/");
    roff_text(out, "where the service may create a Unix socket.");
    roff_item(out, "/usr/share/doc/drawtender/config/messages.md");
    roff_text(out, "what each error message means, and what to do.");
    roff_section(out, "EXIT STATUS");
    print_exits(out);
    roff_section(out, "CAUTION");
    roff_text(out, options_cautions);
}
