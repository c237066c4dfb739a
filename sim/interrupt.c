/* Signals that ask to stop, held back and asked for, so that no handler and no global state is needed. */
#include "sim/interrupt.h"

#include <stddef.h>

static const int SIGNALS[] = {SIGINT, SIGTERM, SIGHUP, SIGPIPE};

enum { SIGNAL_COUNT = sizeof SIGNALS / sizeof SIGNALS[0] };

Interrupt sim_interrupt_hold(void) {
    Interrupt interrupt;
    sigemptyset(&interrupt.held);
    for (int i = 0; i < SIGNAL_COUNT; i++) {
        struct sigaction action;
        /* one that is ignored (nohup) would wait all the same once it is held */
        if (sigaction(SIGNALS[i], NULL, &action) == 0 && action.sa_handler != SIG_IGN)
            sigaddset(&interrupt.held, SIGNALS[i]);
    }
    sigprocmask(SIG_BLOCK, &interrupt.held, &interrupt.before);
    return interrupt;
}

bool sim_interrupt_waiting(const Interrupt *interrupt, bool *broken_pipe) {
    sigset_t pending;
    bool waiting = false;
    if (sigpending(&pending) != 0) return false;
    for (int i = 0; i < SIGNAL_COUNT; i++)
        waiting = waiting ||
                  (sigismember(&interrupt->held, SIGNALS[i]) == 1 && sigismember(&pending, SIGNALS[i]) == 1);
    if (broken_pipe != NULL) *broken_pipe = sigismember(&pending, SIGPIPE) == 1;
    return waiting;
}

void sim_interrupt_release(const Interrupt *interrupt) {
    sigprocmask(SIG_SETMASK, &interrupt->before, NULL);
}
