/* digit.h: hexadecimal digits. */
#ifndef PROTOCOL_LCC_DIGIT_H
#define PROTOCOL_LCC_DIGIT_H

/* Returns 0 to 15, of a digit in either case, or -1. */
int lcc_digit_value(char c);

/* Returns the digit of 0 to 15, in capitals. */
char lcc_digit(unsigned value);

#endif
