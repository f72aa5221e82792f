/* mechanics_sums.h: walks over the mechanics that put the parts together; one call of any of them.
 */
#ifndef ANALYSIS_MECHANICS_SUMS_H
#define ANALYSIS_MECHANICS_SUMS_H

void walk_chain(void);
void walk_sizing(void);
void walk_train_stop(void);
void walk_balance_test(void);
void walk_trend(void);

#endif
