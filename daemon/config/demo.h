/* demo.h: the text of config/kettle-narrows.json, put here by CMake (see CMakeLists.txt), so that
 * the built-in demo and the example are one. */
#ifndef CONFIG_DEMO_H
#define CONFIG_DEMO_H

#include <stddef.h>

extern const char demo_text[]; /* no NUL at its end */
extern const size_t demo_text_length;

#endif
