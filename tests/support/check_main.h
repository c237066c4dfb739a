/* The frame of a unit test: a Check suite run to the end, with the exit code CTest expects.
   Use: static Suite *suite(void) {...}  then  CHECK_MAIN(suite) at the end of the file. */
#ifndef TESTS_SUPPORT_CHECK_MAIN_H
#define TESTS_SUPPORT_CHECK_MAIN_H

#include <check.h>
#include <stdlib.h>

#define CHECK_MAIN(make_suite)                                                                               \
    int main(void) {                                                                                         \
        SRunner *runner = srunner_create(make_suite());                                                      \
        srunner_run_all(runner, CK_NORMAL);                                                                  \
        int failed = srunner_ntests_failed(runner);                                                          \
        srunner_free(runner);                                                                                \
        return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;                                                    \
    }

#endif
