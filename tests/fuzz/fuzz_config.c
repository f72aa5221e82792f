/* Configurations: what is called usable can be run, and what is not has its complaint. */
#include "config/config.h"
#include "fuzz/fuzz.h"

#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static struct config config;
    static struct config_report report;
    bool is_usable = config_read_text((const char *)data, size, &config, &report);
    FUZZ_HOLDS(is_usable == (report.errors.count == 0));
    FUZZ_HOLDS(!is_usable || (config.net.bridges > 0 && config.net.listeners > 0));
    for (unsigned i = 0; is_usable && i < config.net.bridges; i++) {
        FUZZ_HOLDS(bridge_setup_fault(&config.net.bridge[i].setup) == NULL);
    }
    return 0;
}
