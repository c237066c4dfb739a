/* The integrator of one beat (CVODE, BDF). The only file of the model that knows SUNDIALS is solver.c. */
#ifndef MODEL_SOLVER_H
#define MODEL_SOLVER_H

#include "model/beat.h"
#include "model/circulation.h"
#include "model/error.h"

typedef struct Solver Solver;

/* Work of one beat. */
typedef struct SolverWork {
    int64_t steps, evaluations, jacobians, setups, retries;
} SolverWork;

/* Returns NULL and ERROR_MEMORY if memory is short. Free with model_solver_destroy. */
Solver *model_solver_create(Error *error);

/* Accepts NULL. */
void model_solver_destroy(Solver *solver);

/* Integrates y[VARIABLE_COUNT] over `ticks` (1..BEAT_TICKS_MAX) and writes samples[ticks], each at the end of
   its tick. A failure is tried again from the start with tighter steps; if that fails too, y is unchanged and
   `error` says why, at `time_s` + the time in the beat. The result depends on `constants`, y and ticks only.
 */
MODEL_CHECKED ErrorCode model_solver_run(Solver *solver, const CirculationConstants *constants, double *y,
                                         int ticks, double time_s, Sample *samples, SolverWork *work,
                                         Error *error);

/* Relative tolerance of the first attempt, and a factor on all absolute tolerances; for tests that compare
   with a finer integration. The defaults are 1e-4 and 1. */
void model_solver_tolerance(Solver *solver, double relative, double absolute_x);

#endif
