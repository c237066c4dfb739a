/* Published checks: each says what was done, what was measured, in which band it should lie and who published
   it. A test program collects its rows, prints them, and keeps its own part of tests/published/README.md.

   Use, in tests/published/test_<ids>_<theme>.c:

       START_TEST(T5) {
           published_begin("T5", "heart failure: dobutamine 10", "S", "Akhtar, Am J Cardiol 1975;36:202");
           ...
           published_between("cardiac index, %", change, 45, 85);
           published_known("wedge, %", other, -25, -8, "why it is missed and what would have to change");
       }
       ...
       PUBLISHED_MAIN(suite)

   Verdicts: pass; known (outside the band, with a reason: red, but does not fail the build); warn (outside
   the band, the claim is from memory or reasoning only); fail. Bands are those of the source and are not
   widened. A run fails on a fail, and when ids, bands or verdicts differ from the README (measured values may
   move). EVENKEEL_UPDATE_GOLDEN=1 rewrites the program's part of the README instead of comparing. */
#ifndef TESTS_SUPPORT_PUBLISHED_H
#define TESTS_SUPPORT_PUBLISHED_H

#include <check.h>
#include <math.h>
#include <stdlib.h>

/* Opens a row of CHECKS.md. Texts are string literals without '|'. `tag` is the strength of the evidence as
   CHECKS.md marks it: "S", "S2", "D", "C" fail the build when missed; "M", "R", "CP" only warn. */
void published_begin(const char *id, const char *statement, const char *tag, const char *source);

/* One quantity of the open row against its band [low, high]; -INFINITY or INFINITY leaves a side open. */
void published_between(const char *quantity, double measured, double low, double high);

/* The same for a quantity the model is known to miss. `reason` says why, and what would have to change. It
   passes when it lies in the band all the same. */
void published_known(const char *quantity, double measured, double low, double high, const char *reason);

/* Compares with (or writes) the part of the README that belongs to `file` (__FILE__ of the test). Returns 0,
   or 1 if a row fails or the README tells another story. */
int published_finish(const char *file);

#define PUBLISHED_MAIN(make_suite)                                                                           \
    int main(void) {                                                                                         \
        SRunner *runner = srunner_create(make_suite());                                                      \
        srunner_set_fork_status(runner, CK_NOFORK); /* rows are collected in this process */                 \
        srunner_run_all(runner, CK_NORMAL);                                                                  \
        const int failed = srunner_ntests_failed(runner);                                                    \
        srunner_free(runner);                                                                                \
        const int rows = published_finish(__FILE__);                                                         \
        return failed == 0 && rows == 0 ? EXIT_SUCCESS : EXIT_FAILURE;                                       \
    }

#endif
