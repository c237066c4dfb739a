/* Signals that ask to stop wait while they are held, and act when they are let through. */
#include "sim/interrupt.h"
#include "tests/support/check_main.h"

#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

START_TEST(interrupt_held_signal_waits_and_then_ends_the_program) {
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        signal(SIGTERM, SIG_DFL); /* in place of the test frame's own handler */
        Interrupt interrupt = sim_interrupt_hold();
        bool pipe_broken = true;
        if (sim_interrupt_waiting(&interrupt, NULL)) _exit(1);
        raise(SIGTERM);
        if (!sim_interrupt_waiting(&interrupt, &pipe_broken) || pipe_broken) _exit(2);
        sim_interrupt_release(&interrupt);
        _exit(3);
    }
    int status = 0;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert_msg(WIFSIGNALED(status) && WTERMSIG(status) == SIGTERM, "status %d", status);
}
END_TEST

START_TEST(interrupt_ignored_signal_does_not_stop) {
    void (*before)(int) = signal(SIGHUP, SIG_IGN); /* as under nohup */
    Interrupt interrupt = sim_interrupt_hold();
    raise(SIGHUP);
    ck_assert(!sim_interrupt_waiting(&interrupt, NULL));
    sim_interrupt_release(&interrupt);
    signal(SIGHUP, before);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/interrupt");
    TCase *c = tcase_create("interrupt");
    tcase_add_test(c, interrupt_held_signal_waits_and_then_ends_the_program);
    tcase_add_test(c, interrupt_ignored_signal_does_not_stop);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
