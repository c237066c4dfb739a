/* Being asked to stop (Ctrl-C, a terminal that closes, a reader of the output that goes away): held back
   while a night is played, so that its files are completed first. */
#ifndef SIM_INTERRUPT_H
#define SIM_INTERRUPT_H

#include <signal.h>
#include <stdbool.h>

typedef struct Interrupt {
    sigset_t held, before;
} Interrupt;

/* From now on the signals that ask to stop wait; those that are ignored stay so. */
Interrupt sim_interrupt_hold(void);

/* True once one of them is waiting; *broken_pipe (may be NULL) tells that it is the output's reader that
 * went. */
bool sim_interrupt_waiting(const Interrupt *interrupt, bool *broken_pipe);

/* Lets them through again: one that is waiting ends the program now, in the usual way. */
void sim_interrupt_release(const Interrupt *interrupt);

#endif
