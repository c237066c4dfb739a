/* CVODE with our own fixed-pattern matrix and linear solver. */
#include "model/solver.h"

#include "model/sparse.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define RELATIVE_TOLERANCE 1e-4
#define ABSOLUTE_X                                                                                           \
    0.5 /* of the tolerances of variables.h: 7 % more steps, twice the margin to the accuracy goal */
#define FIRST_STEP_S   1e-4  /* fixed, so that a beat does not depend on how its first step is guessed */
#define STEPS_MAX      60000 /* in one beat; a usual beat takes some 200 */
#define VOLUME_LOST_ML -5.0  /* below this a trial state is refused, and the step is made smaller */
#define SETUP_FREQUENCY                                                                                      \
    3 /* steps between factorisations at most: an older matrix doubles the error, a fresh one costs more */
#define JACOBIAN_FREQUENCY 3 /* steps between Jacobians at most */
#define ORDER_MOST         3 /* higher orders do not pay between events 0.1 s apart */

/* What each further attempt of a beat tightens. */
static const struct {
    double tolerance_x, step_s;
    long setup_frequency;
} ATTEMPTS[] = {{1.0, 0.05, SETUP_FREQUENCY}, {0.1, 1e-3, 1}, {0.01, 2e-4, 1}};
enum { ATTEMPT_COUNT = sizeof ATTEMPTS / sizeof ATTEMPTS[0] };

/* Vectors are a few unused zeros longer than the system, so that their loops run in whole machine vectors. */
enum { VECTOR_LENGTH = 32 };
_Static_assert((int)VECTOR_LENGTH >= (int)VARIABLE_COUNT, "vectors must hold all variables");

static const double TOLERANCES[VARIABLE_COUNT] = {
#define V(name, text, tolerance) tolerance,
    VARIABLES(V)
#undef V
};

struct Solver {
    SUNContext context;
    void *cvode;
    N_Vector y, dense;
    double tolerance[VECTOR_LENGTH]; /* absolute */
    double relative_now;             /* of the present attempt */
    SUNMatrix matrix;
    SUNLinearSolver linear;
    Sparse sparse;
    double factors[SPARSE_VALUES_MAX];
    const CirculationConstants *constants;
    bool drive_known;
    CirculationDrive drive;
    double relative;
    int64_t jacobians, setups;
};

/* Content of our matrix: values on the pattern of `sparse`. */
typedef struct Values {
    const Sparse *sparse;
    double value[SPARSE_VALUES_MAX];
    SUNMatrix spare; /* for the one copy that CVODE makes: SUNDIALS does not bear a copy that fails */
} Values;

/* ---- vector operations: CVODE spends most of its time here, on vectors too short for its general loops ----
 */

static void vector_linear_sum(realtype a, N_Vector x, realtype b, N_Vector y, N_Vector z) {
    const double *xs = NV_DATA_S(x);
    const double *ys = NV_DATA_S(y);
    double *zs = NV_DATA_S(z);
#pragma GCC ivdep
    for (int i = 0; i < VECTOR_LENGTH; i++)
        zs[i] = a * xs[i] + b * ys[i];
}

static void vector_scale(realtype c, N_Vector x, N_Vector z) {
    const double *xs = NV_DATA_S(x);
    double *zs = NV_DATA_S(z);
#pragma GCC ivdep
    for (int i = 0; i < VECTOR_LENGTH; i++)
        zs[i] = c * xs[i];
}

static void vector_constant(realtype c, N_Vector z) {
    double *zs = NV_DATA_S(z);
    for (int i = 0; i < VECTOR_LENGTH; i++)
        zs[i] = c;
}

/* Root of the mean weighted square over the variables; four partial sums in a fixed order. */
static realtype vector_norm(N_Vector x, N_Vector weight) {
    const double *xs = NV_DATA_S(x);
    const double *ws = NV_DATA_S(weight);
    double sum[4] = {0, 0, 0, 0};
    for (int i = 0; i < VECTOR_LENGTH; i += 4)
        for (int k = 0; k < 4; k++) {
            const double term = xs[i + k] * ws[i + k];
            sum[k] += term * term;
        }
    return sqrt(((sum[0] + sum[1]) + (sum[2] + sum[3])) / VARIABLE_COUNT);
}

static N_Vector vector_new(SUNContext context) {
    N_Vector vector = N_VNew_Serial(VECTOR_LENGTH, context);
    if (!vector) return NULL;
    vector->ops->nvlinearsum = vector_linear_sum;
    vector->ops->nvscale = vector_scale;
    vector->ops->nvconst = vector_constant;
    vector->ops->nvwrmsnorm = vector_norm;
    vector_constant(0.0, vector);
    return vector;
}

/* Error weights 1 / (rtol |y| + atol); the unused places count nothing. */
static int system_weights(N_Vector y, N_Vector weight, void *user) {
    const Solver *solver = user;
    const double *ys = NV_DATA_S(y);
    double *ws = NV_DATA_S(weight);
    for (int i = 0; i < VECTOR_LENGTH; i++)
        ws[i] = 1.0 / (solver->relative_now * fabs(ys[i]) + solver->tolerance[i]);
    return 0;
}

/* ---- matrix ---- */

static SUNMatrix matrix_new(const Sparse *sparse, SUNContext context);

static SUNMatrix_ID matrix_id(SUNMatrix matrix) {
    (void)matrix;
    return SUNMATRIX_CUSTOM;
}

static SUNMatrix matrix_clone(SUNMatrix matrix) {
    Values *values = matrix->content;
    SUNMatrix copy = values->spare;
    values->spare = NULL;
    return copy ? copy : matrix_new(values->sparse, matrix->sunctx);
}

static void matrix_destroy(SUNMatrix matrix) {
    if (!matrix) return;
    Values *values = matrix->content;
    matrix_destroy(values->spare);
    free(values);
    matrix->content = NULL;
    SUNMatFreeEmpty(matrix);
}

static int matrix_zero(SUNMatrix matrix) {
    Values *values = matrix->content;
    memset(values->value, 0, (size_t)values->sparse->count * sizeof values->value[0]);
    return 0;
}

static int matrix_copy(SUNMatrix from, SUNMatrix to) {
    const Values *source = from->content;
    Values *target = to->content;
    memcpy(target->value, source->value, (size_t)source->sparse->count * sizeof source->value[0]);
    return 0;
}

static int matrix_scale_add_identity(realtype c, SUNMatrix matrix) {
    Values *values = matrix->content;
    for (int i = 0; i < values->sparse->count; i++)
        values->value[i] *= c;
    for (int k = 0; k < values->sparse->n; k++)
        values->value[values->sparse->diagonal[k]] += 1.0;
    return 0;
}

static SUNMatrix matrix_new(const Sparse *sparse, SUNContext context) {
    SUNMatrix matrix = SUNMatNewEmpty(context);
    Values *values = calloc(1, sizeof *values);
    if (!matrix || !values) {
        free(values);
        if (matrix) SUNMatFreeEmpty(matrix);
        return NULL;
    }
    values->sparse = sparse;
    matrix->content = values;
    matrix->ops->getid = matrix_id;
    matrix->ops->clone = matrix_clone;
    matrix->ops->destroy = matrix_destroy;
    matrix->ops->zero = matrix_zero;
    matrix->ops->copy = matrix_copy;
    matrix->ops->scaleaddi = matrix_scale_add_identity;
    return matrix;
}

/* ---- linear solver ---- */

static SUNLinearSolver_Type linear_type(SUNLinearSolver linear) {
    (void)linear;
    return SUNLINEARSOLVER_DIRECT;
}

static int linear_setup(SUNLinearSolver linear, SUNMatrix matrix) {
    Solver *solver = linear->content;
    const Values *values = matrix->content;
    memcpy(solver->factors, values->value, (size_t)solver->sparse.count * sizeof values->value[0]);
    solver->setups++;
    return model_sparse_factor(&solver->sparse, solver->factors) ? SUNLS_SUCCESS : SUNLS_LUFACT_FAIL;
}

static int linear_solve(SUNLinearSolver linear, SUNMatrix matrix, N_Vector x, N_Vector b,
                        realtype tolerance) {
    (void)matrix;
    (void)tolerance;
    Solver *solver = linear->content;
    double *data = NV_DATA_S(x);
    memcpy(data, NV_DATA_S(b), VECTOR_LENGTH * sizeof data[0]);
    model_sparse_solve(&solver->sparse, solver->factors, data);
    return SUNLS_SUCCESS;
}

static int linear_free(SUNLinearSolver linear) {
    if (linear) {
        linear->content = NULL; /* belongs to the solver */
        SUNLinSolFreeEmpty(linear);
    }
    return SUNLS_SUCCESS;
}

static SUNLinearSolver linear_new(Solver *solver) {
    SUNLinearSolver linear = SUNLinSolNewEmpty(solver->context);
    if (!linear) return NULL;
    linear->content = solver;
    linear->ops->gettype = linear_type;
    linear->ops->setup = linear_setup;
    linear->ops->solve = linear_solve;
    linear->ops->free = linear_free;
    return linear;
}

/* ---- the system ---- */

/* Inputs at time t; the integrator asks several times for the same t. */
static const CirculationDrive *drive_at(Solver *solver, double t) {
    if (!solver->drive_known || t < solver->drive.t_s || t > solver->drive.t_s) {
        model_circulation_drive(solver->constants, t, &solver->drive);
        solver->drive_known = true;
    }
    return &solver->drive;
}

static int system_rates(realtype t, N_Vector y, N_Vector rates, void *user) {
    Solver *solver = user;
    const double *state = NV_DATA_S(y);
    double *rate = NV_DATA_S(rates);
    double sum = 0;
    for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
        if (!(state[i] > VOLUME_LOST_ML)) return 1;
    model_circulation_rates(solver->constants, drive_at(solver, t), state, rate);
    for (int i = VARIABLE_COUNT; i < VECTOR_LENGTH; i++)
        rate[i] = 0; /* the library's vectors come unset; what fills them up must not reach the norms */
    for (int i = 0; i < VARIABLE_COUNT; i++)
        sum += fabs(rate[i]);
    return isfinite(sum) ? 0 : 1;
}

static int system_jacobian(realtype t, N_Vector y, N_Vector rates, SUNMatrix matrix, void *user, N_Vector a,
                           N_Vector b, N_Vector c) {
    (void)rates;
    (void)a;
    (void)b;
    (void)c;
    Solver *solver = user;
    Values *values = matrix->content;
    matrix_zero(matrix);
    const JacobianSink sink = {.value = values->value, .place = solver->sparse.place};
    model_circulation_jacobian(solver->constants, drive_at(solver, t), NV_DATA_S(y), &sink);
    solver->jacobians++;
    return 0;
}

/* Keeps the library silent; failures are reported through Error. */
static void system_silent(int code, const char *module, const char *function, char *message, void *user) {
    (void)code;
    (void)module;
    (void)function;
    (void)message;
    (void)user;
}

/* Marks every place of the Jacobian that any patient can use. */
static void plan_pattern(Sparse *sparse) {
    const Parameters parameters = model_parameters_standard();
    const Effects effects = model_effects_none();
    const BeatTiming timing = {.ticks = 1, .ventricular_ees_x = 1};
    CirculationState state;
    CirculationConstants constants;
    CirculationDrive drive;
    unsigned char marks[VARIABLE_COUNT * VARIABLE_COUNT] = {0};
    model_circulation_start(&state, &parameters);
    model_circulation_prepare(&constants, &parameters, &effects, &state, &timing);
    model_circulation_drive(&constants, 0.0, &drive);
    const JacobianSink sink = {.mark = marks};
    model_circulation_jacobian(&constants, &drive, state.y, &sink);
    model_sparse_plan(sparse, VARIABLE_COUNT, marks);
}

static bool setup_cvode(Solver *solver) {
    if (SUNContext_Create(NULL, &solver->context) != 0) return false;
    solver->y = vector_new(solver->context);
    solver->dense = vector_new(solver->context);
    solver->matrix = matrix_new(&solver->sparse, solver->context);
    if (!solver->matrix) return false;
    Values *values = solver->matrix->content;
    values->spare = matrix_new(&solver->sparse, solver->context);
    solver->linear = linear_new(solver);
    solver->cvode = CVodeCreate(CV_BDF, solver->context);
    if (!solver->y || !solver->dense || !values->spare || !solver->linear || !solver->cvode) return false;
    return CVodeInit(solver->cvode, system_rates, 0.0, solver->y) == CV_SUCCESS &&
           CVodeWFtolerances(solver->cvode, system_weights) == CV_SUCCESS &&
           CVodeSetUserData(solver->cvode, solver) == CV_SUCCESS &&
           CVodeSetErrHandlerFn(solver->cvode, system_silent, NULL) == CV_SUCCESS &&
           CVodeSetLinearSolver(solver->cvode, solver->linear, solver->matrix) == CV_SUCCESS &&
           CVodeSetJacFn(solver->cvode, system_jacobian) == CV_SUCCESS &&
           CVodeSetJacEvalFrequency(solver->cvode, JACOBIAN_FREQUENCY) == CV_SUCCESS &&
           CVodeSetMaxOrd(solver->cvode, ORDER_MOST) == CV_SUCCESS &&
           CVodeSetInitStep(solver->cvode, FIRST_STEP_S) == CV_SUCCESS;
}

Solver *model_solver_create(Error *error) {
    Solver *solver = calloc(1, sizeof *solver);
    if (solver) {
        plan_pattern(&solver->sparse);
        model_solver_tolerance(solver, RELATIVE_TOLERANCE, ABSOLUTE_X);
        if (setup_cvode(solver)) return solver;
    }
    model_solver_destroy(solver);
    model_error_set(error, ERROR_MEMORY, "no memory for the integrator");
    return NULL;
}

void model_solver_destroy(Solver *solver) {
    if (!solver) return;
    if (solver->cvode) CVodeFree(&solver->cvode);
    if (solver->linear) SUNLinSolFree(solver->linear);
    if (solver->matrix) SUNMatDestroy(solver->matrix);
    if (solver->dense) N_VDestroy(solver->dense);
    if (solver->y) N_VDestroy(solver->y);
    if (solver->context) SUNContext_Free(&solver->context);
    free(solver);
}

void model_solver_tolerance(Solver *solver, double relative, double absolute_x) {
    solver->relative = relative;
    for (int i = 0; i < VECTOR_LENGTH; i++)
        solver->tolerance[i] = i < VARIABLE_COUNT ? TOLERANCES[i] * absolute_x : 1.0;
}

/* ---- one beat ---- */

/* Steps to time `stop_s`, writing the samples of all ticks passed. *tick counts the samples written. */
static int run_to(Solver *solver, double stop_s, int *tick, Sample *samples, int64_t *steps) {
    const double *dense = NV_DATA_S(solver->dense);
    if (CVodeSetStopTime(solver->cvode, stop_s) != CV_SUCCESS) return CV_ILL_INPUT;
    for (;;) {
        realtype t;
        const int flag = CVode(solver->cvode, stop_s, solver->y, &t, CV_ONE_STEP);
        if (flag < 0) return flag;
        if (++*steps > STEPS_MAX) return CV_TOO_MUCH_WORK;
        const double half_tick_s = 0.5 * BEAT_TICK_S;
        while ((*tick + 1) * BEAT_TICK_S <= t && (*tick + 1) * BEAT_TICK_S < stop_s - half_tick_s) {
            const double at_s = (*tick + 1) * BEAT_TICK_S;
            const int got = CVodeGetDky(solver->cvode, at_s, 0, solver->dense);
            if (got != CV_SUCCESS) return got;
            CirculationDrive drive;
            model_circulation_drive_heart(solver->constants, at_s, &drive);
            model_circulation_sample(solver->constants, &drive, dense, &samples[*tick]);
            ++*tick;
        }
        if (flag == CV_TSTOP_RETURN) {
            model_circulation_sample(solver->constants, drive_at(solver, stop_s), NV_DATA_S(solver->y),
                                     &samples[*tick]);
            ++*tick;
            return CV_SUCCESS;
        }
    }
}

/* One attempt from y0; on success solver->y holds the end. */
static int attempt_beat(Solver *solver, const double *y0, int ticks, int attempt, Sample *samples,
                        SolverWork *work) {
    double *y = NV_DATA_S(solver->y);
    memcpy(y, y0, VARIABLE_COUNT * sizeof y[0]);
    solver->drive_known = false;
    solver->relative_now = solver->relative * ATTEMPTS[attempt].tolerance_x;
    if (CVodeReInit(solver->cvode, 0.0, solver->y) != CV_SUCCESS) return CV_ILL_INPUT;
    int flag = CVodeSetMaxStep(solver->cvode, ATTEMPTS[attempt].step_s);
    if (flag == CV_SUCCESS) flag = CVodeSetLSetupFrequency(solver->cvode, ATTEMPTS[attempt].setup_frequency);
    int tick = 0;
    int64_t steps = 0;
    const BeatTiming *timing = &solver->constants->timing;
    for (int i = 0; i < timing->atrial_count && flag == CV_SUCCESS; i++) {
        const int onset = (int)lround(timing->atrial[i].onset_s / BEAT_TICK_S);
        if (onset > tick && onset < ticks) flag = run_to(solver, onset * BEAT_TICK_S, &tick, samples, &steps);
    }
    if (flag == CV_SUCCESS) flag = run_to(solver, ticks * BEAT_TICK_S, &tick, samples, &steps);
    long evaluations = 0;
    CVodeGetNumRhsEvals(solver->cvode, &evaluations);
    work->steps += steps;
    work->evaluations += evaluations;
    return flag;
}

ErrorCode model_solver_run(Solver *solver, const CirculationConstants *constants, double *y, int ticks,
                           double time_s, Sample *samples, SolverWork *work, Error *error) {
    assert(ticks >= 1 && ticks <= BEAT_TICKS_MAX);
    memset(work, 0, sizeof *work);
    solver->constants = constants;
    solver->jacobians = 0;
    solver->setups = 0;
    int flag = CV_SUCCESS;
    realtype reached_s = 0;
    ErrorCode code = ERROR_SOLVER;
    for (int attempt = 0; attempt < ATTEMPT_COUNT; attempt++) {
        work->retries = attempt;
        flag = attempt_beat(solver, y, ticks, attempt, samples, work);
        CVodeGetCurrentTime(solver->cvode, &reached_s);
        if (flag == CV_SUCCESS) {
            const double *end = NV_DATA_S(solver->y);
            code = model_circulation_check(end, time_s + ticks * BEAT_TICK_S, error);
            if (code == ERROR_OK) {
                memcpy(y, end, VARIABLE_COUNT * sizeof y[0]);
                break;
            }
        } else {
            code = ERROR_SOLVER;
        }
    }
    work->jacobians = solver->jacobians;
    work->setups = solver->setups;
    solver->constants = NULL;
    if (code == ERROR_SOLVER)
        return model_error_set(error, ERROR_SOLVER, "the integrator stopped at %.3f s (reason %d)",
                               time_s + reached_s, flag);
    return code;
}
