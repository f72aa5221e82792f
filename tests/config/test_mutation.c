/* The examples, spoilt in many ways with a fixed seed: whatever comes in, there is an answer, and
 * it is either a sound configuration or a complaint. The sanitizers watch. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const names[] = {"kettle-narrows",  "garden-gate",
                                    "harbor-lift",     "mill-swing",
                                    "shed-controller", "../tests/daemon/linked-bridge"};
enum { EXAMPLES = sizeof names / sizeof names[0], ROUNDS = 400 };

static struct config config;
static struct config_report report;
static unsigned sound;
static unsigned refused;

/* Numerical Recipes' "quick and dirty" generator (Press et al., 2nd edition, section 7.1; from
 * memory): any fixed sequence would do. */
static unsigned long random_below(unsigned long *seed, unsigned long limit) {
    *seed = (*seed * 1664525UL + 1013904223UL) & 0xffffffffUL;
    return (*seed >> 8) % limit;
}

static void assert_complaints_say_something(const struct config_list *list) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        assert_true(list->complaint[i].what[0] != '\0');
    }
}

/* Reads a copy of exactly this length, so that a look beyond its end is seen. */
static void read_and_judge(const char *text, size_t length) {
    char *exact = malloc(length > 0 ? length : 1);
    assert_non_null(exact);
    memcpy(exact, text, length);
    bool is_usable = config_read_text(exact, length, &config, &report);
    free(exact);
    assert_int_equal(is_usable, report.errors.count == 0);
    assert_complaints_say_something(&report.errors);
    assert_complaints_say_something(&report.warnings);
    for (unsigned b = 0; is_usable && b < config.net.bridges; b++) {
        assert_null(bridge_setup_fault(&config.net.bridge[b].setup));
    }
    sound += is_usable ? 1 : 0;
    refused += is_usable ? 0 : 1;
}

static char *example_text(unsigned i) {
    char path[256];
    snprintf(path, sizeof path, SOURCE_DIR "/config/%s.json", names[i]);
    return config_text_of_file(path);
}

static size_t spoil(char *text, size_t length, unsigned long *seed) {
    static const char bytes[] = "{}[]\",:\\0-9.eE/ \n\tn\x01\x80\xff";
    size_t at = random_below(seed, length);
    size_t other = random_below(seed, length);
    size_t size = 1 + random_below(seed, 12);
    size = at + size > length || other + size > length ? 1 : size;
    switch (random_below(seed, 5)) {
    case 0: /* another byte */
        text[at] = bytes[random_below(seed, sizeof bytes)];
        return length;
    case 1: /* a bit turned over */
        text[at] = (char)(text[at] ^ (1 << random_below(seed, 8)));
        return length;
    case 2: /* some bytes gone */
        memmove(text + at, text + at + size, length - at - size);
        return length - size;
    case 3: /* some bytes again elsewhere */
        memmove(text + at, text + other, size);
        return length;
    default: /* cut off */
        return random_below(seed, 8) == 0 ? at : length;
    }
}

static void spoilt_bytes_give_an_answer(void **state) {
    (void)state;
    unsigned long seed = 1;
    for (unsigned i = 0; i < EXAMPLES; i++) {
        char *text = example_text(i);
        size_t whole = strlen(text);
        char *copy = malloc(whole + 1);
        assert_non_null(copy);
        for (unsigned round = 0; round < ROUNDS; round++) {
            memcpy(copy, text, whole + 1);
            size_t length = whole;
            for (unsigned long n = 1 + random_below(&seed, 3); n > 0 && length > 0; n--) {
                length = spoil(copy, length, &seed);
            }
            read_and_judge(copy, length);
        }
        free(copy);
        free(text);
    }
}

/* --- values that are JSON, and wrong or extreme --- */

static const char *const values[] = {
    "null",
    "true",
    "false",
    "0",
    "-1",
    "1",
    "7",
    "255",
    "65535",
    "1e9",
    "-1e308",
    "1e308",
    "0.5",
    "[]",
    "{}",
    "[[]]",
    "\"\"",
    "\"0 m\"",
    "\"1 mm\"",
    "\"1 m\"",
    "\"-1 m\"",
    "\"20 m\"",
    "\"1e300 m\"",
    "\"1e-300 m\"",
    "\"0 deg\"",
    "\"1 deg\"",
    "\"89 deg\"",
    "\"179 deg\"",
    "\"1e-9 deg\"",
    "\"0 s\"",
    "\"1 ms\"",
    "\"1 h\"",
    "\"24 h\"",
    "\"100 %\"",
    "\"0 %\"",
    "\"1000 deg/s\"",
    "\"1e-5 deg/s\"",
    "\"0.01 deg/s\"",
    "\"1 mm/s\"",
    "\"1000 m/s\"",
    "\"1e-3 deg/s2\"",
    "\"1e6 deg/s2\"",
    "\"1 kg\"",
    "\"1000 kg\"",
    "\"1 mA\"",
    "\"100 A\"",
    "\"60 V\"",
    "\"1 V\"",
    "\"100 N m\"",
    "\"0 N m\"",
    "\"0 N\"",
    "\"vertical\"",
    "\"swing\"",
    "\"hand\"",
    "\"rolling\"",
    "\"sector\"",
    "\"strut\"",
    "\"west\"",
    "\"\\u00b0\"",
    "[\"0 m\", \"0 m\"]",
    "[\"1 m\", \"-1 m\"]",
    "[\"20 m\", \"20 m\"]",
};

/* The `number`th value below `node`, itself not counted; `number` is used up on the way. */
static cJSON *nth_below(cJSON *node, unsigned long *number) {
    for (cJSON *child = node->child; child != NULL; child = child->next) {
        if ((*number)-- == 0) {
            return child;
        }
        cJSON *found = nth_below(child, number);
        if (found != NULL) {
            return found;
        }
    }
    return NULL;
}

static unsigned long count_below(const cJSON *node) {
    unsigned long count = 0;
    for (const cJSON *child = node->child; child != NULL; child = child->next) {
        count += 1 + count_below(child);
    }
    return count;
}

static void put(cJSON *tree, unsigned long *seed) {
    unsigned long number = random_below(seed, count_below(tree));
    cJSON *old = nth_below(tree, &number);
    cJSON *new = cJSON_Parse(values[random_below(seed, sizeof values / sizeof values[0])]);
    assert_non_null(old);
    assert_non_null(new);
    /* In place: the contents change hands, the place in the tree stays. */
    cJSON swap = *old;
    old->type = new->type;
    old->child = new->child;
    old->valuestring = new->valuestring;
    old->valueint = new->valueint;
    old->valuedouble = new->valuedouble;
    new->type = swap.type & 0xff;
    new->child = swap.child;
    new->valuestring = swap.valuestring;
    cJSON_Delete(new);
}

static void spoilt_values_give_an_answer(void **state) {
    (void)state;
    unsigned long seed = 2;
    sound = refused = 0;
    for (unsigned i = 0; i < EXAMPLES; i++) {
        char *text = example_text(i);
        for (unsigned round = 0; round < 2 * ROUNDS; round++) {
            cJSON *tree = cJSON_Parse(text);
            assert_non_null(tree);
            for (unsigned long n = 1 + random_below(&seed, 4); n > 0; n--) {
                put(tree, &seed);
            }
            char *spoilt = cJSON_PrintUnformatted(tree);
            read_and_judge(spoilt, strlen(spoilt));
            cJSON_free(spoilt);
            cJSON_Delete(tree);
        }
        free(text);
    }
    /* Both answers come: otherwise this would not look where it should. */
    assert_true(sound > ROUNDS / 10);
    assert_true(refused > ROUNDS);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spoilt_bytes_give_an_answer),
        cmocka_unit_test(spoilt_values_give_an_answer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
