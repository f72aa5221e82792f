/* check.h: cmocka with the headers it needs before it, in the order it needs them. */
#ifndef SUPPORT_CHECK_H
#define SUPPORT_CHECK_H

/* clang-format off */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
/* clang-format on */

#endif
