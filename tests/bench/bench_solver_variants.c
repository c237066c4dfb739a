/* What was tried for the integrator, measured in one run: each variant is the product's own code with one
   thing changed, and plays the same beats of every base patient from the same states. For each: simulated
   over CPU time (median of several interleaved rounds), work per beat, and the largest difference of any
   sample from a reference at 1e-10. Usage: bench_solver_variants [rounds [beats]]; with `1 2` it is a smoke
   run. */
#include "model/solver.c" /* the variants reach into the integrator: this program is built from it, not linked */

#include "model/people.h"
#include "model/rhythm.h"
#include "model/units.h"

#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <stdio.h>
#include <time.h>

enum { ROUNDS = 7, BEATS = 20, BEATS_MOST = 200, LEAD_IN_BEATS = 40, ROUNDS_MOST = 99, TABLE_POINTS = 2048 };
#define REFERENCE_RELATIVE   1e-10
#define REFERENCE_ABSOLUTE_X 1e-6
#define TABLE_END_S          2.0

typedef enum JacobianKind { EXACT_SPARSE, COLOURED_DIFFERENCES, DENSE_DIFFERENCES, NO_JACOBIAN } JacobianKind;

/* One way to integrate; the first is the product's. */
typedef struct Variant {
    const char *name;
    int method; /* CV_BDF or CV_ADAMS */
    JacobianKind jacobian;
    int order_most;
    double relative, absolute_x;
    long setup_frequency, jacobian_frequency;
    double newton_coefficient; /* of its convergence test */
    double first_step_s;
    bool stop_at_ticks;      /* instead of samples from the integrator's polynomial */
    bool tabulated;          /* activation from a table instead of its formula */
    bool library_vector_ops; /* instead of loops of fixed length */
} Variant;

#define PRODUCT                                                                                              \
    .method = CV_BDF, .jacobian = EXACT_SPARSE, .order_most = ORDER_MOST, .relative = RELATIVE_TOLERANCE,    \
    .absolute_x = ABSOLUTE_X, .setup_frequency = SETUP_FREQUENCY, .jacobian_frequency = JACOBIAN_FREQUENCY,  \
    .newton_coefficient = 0.1, .first_step_s = FIRST_STEP_S

/* Every row is the product with what follows changed. */
#pragma GCC diagnostic ignored "-Woverride-init"
static const Variant VARIANTS[] = {
    {.name = "product", PRODUCT},
    {.name = "Jacobian by coloured differences", PRODUCT, .jacobian = COLOURED_DIFFERENCES},
    {.name = "dense matrix, Jacobian by differences", PRODUCT, .jacobian = DENSE_DIFFERENCES},
    {.name = "Adams, fixed-point iteration",
     PRODUCT,
     .method = CV_ADAMS,
     .jacobian = NO_JACOBIAN,
     .order_most = 12},
    {.name = "Adams, Newton", PRODUCT, .method = CV_ADAMS, .order_most = 12},
    {.name = "BDF up to order 2", PRODUCT, .order_most = 2},
    {.name = "BDF up to order 5", PRODUCT, .order_most = 5},
    {.name = "tolerances x 0.1", PRODUCT, .relative = 1e-5, .absolute_x = 0.05},
    {.name = "tolerances x 0.5", PRODUCT, .relative = 5e-5, .absolute_x = 0.25},
    {.name = "tolerances x 2", PRODUCT, .relative = 2e-4, .absolute_x = 1.0},
    {.name = "tolerances x 10", PRODUCT, .relative = 1e-3, .absolute_x = 5.0},
    {.name = "relative tolerance x 10 only", PRODUCT, .relative = 1e-3},
    {.name = "factors kept up to 20 steps", PRODUCT, .setup_frequency = 20, .jacobian_frequency = 51},
    {.name = "factors kept up to 10 steps", PRODUCT, .setup_frequency = 10, .jacobian_frequency = 10},
    {.name = "factors new every 5 steps", PRODUCT, .setup_frequency = 5, .jacobian_frequency = 5},
    {.name = "factors new every step", PRODUCT, .setup_frequency = 1, .jacobian_frequency = 1},
    {.name = "activation from a table", PRODUCT, .tabulated = true},
    {.name = "stop at every tick", PRODUCT, .stop_at_ticks = true},
    {.name = "vector operations of the library", PRODUCT, .library_vector_ops = true},
};
enum { VARIANT_COUNT = sizeof VARIANTS / sizeof VARIANTS[0] };

/* A beat to be played: everything it depends on, and what it should give. */
typedef struct Job {
    CirculationConstants constants;
    double y0[VARIABLE_COUNT];
    int ticks;
    Sample *reference; /* [ticks] */
} Job;

/* Activation shape as a table over unstretched time: value and slope at even points (cubic between). */
typedef struct Table {
    double level[TABLE_POINTS + 1], slope[TABLE_POINTS + 1];
} Table;

/* A solver set up for one variant; `solver` comes first, since the system's functions get a pointer to it. */
typedef struct Bench {
    Solver *solver;
    const Variant *variant;
    void *cvode;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    SUNNonlinearSolver fixed_point;
    int16_t colour[VARIABLE_COUNT];
    int colours;
    unsigned char marks[VARIABLE_COUNT * VARIABLE_COUNT];
    const Table *ventricle, *atrium;
    int64_t steps, rates, jacobians;
} Bench;

/* What a variant showed. */
typedef struct Result {
    double cpu_s[ROUNDS_MOST];
    double steps, rates, jacobians; /* per beat */
    double error_mmhg, error_ml, error_l_min;
    int failed;
} Result;

static double cpu_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- activation from a table ---- */

static void fill_table(Table *table, const ActivationShape *shape) {
    const double dt_s = TABLE_END_S / TABLE_POINTS, h_s = 1e-6;
    for (int i = 0; i <= TABLE_POINTS; i++) {
        const Activation unit = {.strength = 1.0};
        const double t_s = i * dt_s;
        table->level[i] = model_activation_level(shape, &unit, t_s);
        table->slope[i] = (model_activation_level(shape, &unit, t_s + h_s) -
                           model_activation_level(shape, &unit, t_s - h_s)) /
                          (2.0 * h_s) * dt_s;
    }
}

static double table_level(const Table *table, const Activation *activation, double t_s) {
    const double place =
        (t_s - activation->onset_s) * exp(-activation->log_scale) * (TABLE_POINTS / TABLE_END_S);
    if (place <= 0 || place >= TABLE_POINTS) return 0.0;
    const int i = (int)place;
    const double u = place - i, v = 1.0 - u;
    return v * v * ((1.0 + 2.0 * u) * table->level[i] + u * table->slope[i]) +
           u * u * ((1.0 + 2.0 * v) * table->level[i + 1] - v * table->slope[i + 1]);
}

/* As model_circulation_drive, with the levels read from the tables. */
static void tabulated_drive(const Bench *bench, const CirculationConstants *c, double t_s,
                            CirculationDrive *drive) {
    const BeatTiming *timing = &c->timing;
    double e = timing->tone_frac, a = timing->tone_frac, atrium = 0.0;
    for (int i = 0; i < 2; i++)
        if (timing->ventricular[i].strength > 0) {
            const double h = table_level(bench->ventricle, &timing->ventricular[i], t_s);
            e = h + (1.0 - h) * e;
            a = timing->ventricular[i].strength * h + (1.0 - h) * a;
        }
    for (int i = 0; i < timing->atrial_count; i++)
        if (timing->atrial[i].strength > 0) {
            const double h = table_level(bench->atrium, &timing->atrial[i], t_s);
            atrium = timing->atrial[i].strength * h + (1.0 - h) * atrium;
        }
    *drive = (CirculationDrive){.t_s = t_s,
                                .ventricle_e = e,
                                .ventricle_a = a,
                                .atrium_a = atrium,
                                .lung = model_lung_drive(&c->lung, t_s)};
    drive->left = model_pump_drive(&c->left, model_pump_krpm(&c->left, c->left_krpm_start, t_s));
    drive->right = model_pump_drive(&c->right, model_pump_krpm(&c->right, c->right_krpm_start, t_s));
}

/* ---- the system, counted ---- */

static int bench_rates(realtype t, N_Vector y, N_Vector rates, void *user) {
    Bench *bench = user;
    Solver *solver = bench->solver;
    bench->rates++;
    if (bench->variant->tabulated &&
        (!solver->drive_known || t < solver->drive.t_s || t > solver->drive.t_s)) {
        tabulated_drive(bench, solver->constants, t, &solver->drive);
        solver->drive_known = true;
    }
    return system_rates(t, y, rates, solver);
}

static int bench_weights(N_Vector y, N_Vector weight, void *user) {
    return system_weights(y, weight, ((Bench *)user)->solver);
}

/* Differences of the rates, all columns of one colour at once: no two of them meet in a row. */
static int coloured_jacobian(realtype t, N_Vector y, N_Vector rates, SUNMatrix matrix, void *user, N_Vector a,
                             N_Vector b, N_Vector c) {
    (void)c;
    Bench *bench = user;
    const Sparse *sparse = &bench->solver->sparse;
    double *value = ((Values *)matrix->content)->value;
    const double *base = NV_DATA_S(rates);
    double *moved = NV_DATA_S(a);
    double step[VARIABLE_COUNT];
    matrix_zero(matrix);
    for (int k = 0; k < bench->colours; k++) {
        memcpy(moved, NV_DATA_S(y), VECTOR_LENGTH * sizeof moved[0]);
        for (int j = 0; j < VARIABLE_COUNT; j++) {
            step[j] = 1e-7 * (fabs(moved[j]) + bench->solver->tolerance[j]);
            if (bench->colour[j] == k) moved[j] += step[j];
        }
        if (bench_rates(t, a, b, user) != 0) return 1;
        for (int j = 0; j < VARIABLE_COUNT; j++)
            for (int i = 0; bench->colour[j] == k && i < VARIABLE_COUNT; i++)
                if (bench->marks[i * VARIABLE_COUNT + j])
                    value[sparse->place[i * VARIABLE_COUNT + j]] = (NV_DATA_S(b)[i] - base[i]) / step[j];
    }
    bench->jacobians++;
    return 0;
}

static int exact_jacobian(realtype t, N_Vector y, N_Vector rates, SUNMatrix matrix, void *user, N_Vector a,
                          N_Vector b, N_Vector c) {
    ((Bench *)user)->jacobians++;
    return system_jacobian(t, y, rates, matrix, ((Bench *)user)->solver, a, b, c);
}

/* Colours the columns greedily so that columns of one colour share no row. */
static void choose_colours(Bench *bench, const CirculationConstants *constants, const double *y) {
    CirculationDrive drive;
    model_circulation_drive(constants, 0.0, &drive);
    const JacobianSink sink = {.mark = bench->marks};
    model_circulation_jacobian(constants, &drive, y, &sink);
    for (int j = 0; j < VARIABLE_COUNT; j++) {
        int colour = 0;
        for (bool taken = true; taken; colour += taken) {
            taken = false;
            for (int k = 0; k < j && !taken; k++)
                for (int i = 0; i < VARIABLE_COUNT && !taken; i++)
                    taken = bench->colour[k] == colour && bench->marks[i * VARIABLE_COUNT + j] &&
                            bench->marks[i * VARIABLE_COUNT + k];
        }
        bench->colour[j] = (int16_t)colour;
        if (colour + 1 > bench->colours) bench->colours = colour + 1;
    }
}

/* ---- one variant ---- */

static bool attach_linear(Bench *bench) {
    Solver *solver = bench->solver;
    switch (bench->variant->jacobian) {
    case NO_JACOBIAN:
        bench->fixed_point = SUNNonlinSol_FixedPoint(solver->y, 0, solver->context);
        return bench->fixed_point && CVodeSetNonlinearSolver(bench->cvode, bench->fixed_point) == CV_SUCCESS;
    case DENSE_DIFFERENCES:
        bench->matrix = SUNDenseMatrix(VECTOR_LENGTH, VECTOR_LENGTH, solver->context);
        bench->linear = SUNLinSol_Dense(solver->y, bench->matrix, solver->context);
        return CVodeSetLinearSolver(bench->cvode, bench->linear, bench->matrix) == CV_SUCCESS &&
               CVodeSetJacEvalFrequency(bench->cvode, bench->variant->jacobian_frequency) == CV_SUCCESS;
    default:
        return CVodeSetLinearSolver(bench->cvode, solver->linear, solver->matrix) == CV_SUCCESS &&
               CVodeSetJacFn(bench->cvode,
                             bench->variant->jacobian == EXACT_SPARSE ? exact_jacobian : coloured_jacobian) ==
                   CV_SUCCESS &&
               CVodeSetJacEvalFrequency(bench->cvode, bench->variant->jacobian_frequency) == CV_SUCCESS;
    }
}

/* A variant's integrator beside the product's own, on the same vectors and matrix. */
static bool bench_open(Bench *bench, const Variant *variant, const Job *job) {
    *bench = (Bench){.variant = variant};
    Error error;
    bench->solver = model_solver_create(&error);
    if (!bench->solver) return false;
    Solver *solver = bench->solver;
    model_solver_tolerance(solver, variant->relative, variant->absolute_x);
    if (variant->library_vector_ops) {
        N_Vector plain = N_VNew_Serial(VECTOR_LENGTH, solver->context);
        solver->y->ops->nvlinearsum = plain->ops->nvlinearsum;
        solver->y->ops->nvscale = plain->ops->nvscale;
        solver->y->ops->nvconst = plain->ops->nvconst;
        solver->y->ops->nvwrmsnorm = plain->ops->nvwrmsnorm;
        N_VDestroy(plain);
    }
    choose_colours(bench, &job->constants, job->y0);
    bench->cvode = CVodeCreate(variant->method, solver->context);
    return bench->cvode && CVodeInit(bench->cvode, bench_rates, 0.0, solver->y) == CV_SUCCESS &&
           CVodeWFtolerances(bench->cvode, bench_weights) == CV_SUCCESS &&
           CVodeSetUserData(bench->cvode, bench) == CV_SUCCESS &&
           CVodeSetErrHandlerFn(bench->cvode, system_silent, NULL) == CV_SUCCESS && attach_linear(bench) &&
           CVodeSetMaxOrd(bench->cvode, variant->order_most) == CV_SUCCESS &&
           CVodeSetNonlinConvCoef(bench->cvode, variant->newton_coefficient) == CV_SUCCESS &&
           CVodeSetInitStep(bench->cvode, variant->first_step_s) == CV_SUCCESS &&
           CVodeSetMaxStep(bench->cvode, ATTEMPTS[0].step_s) == CV_SUCCESS;
}

static void bench_close(Bench *bench) {
    if (bench->cvode) CVodeFree(&bench->cvode);
    if (bench->fixed_point) SUNNonlinSolFree(bench->fixed_point);
    if (bench->variant->jacobian == DENSE_DIFFERENCES) {
        SUNLinSolFree(bench->linear);
        SUNMatDestroy(bench->matrix);
    }
    model_solver_destroy(bench->solver);
}

/* Plays a beat as attempt_beat of the product does; false when the integrator gives up. */
static bool play(Bench *bench, const Job *job, Sample *samples) {
    Solver *solver = bench->solver;
    const Variant *variant = bench->variant;
    memcpy(NV_DATA_S(solver->y), job->y0, sizeof job->y0);
    solver->drive_known = false;
    solver->relative_now = variant->relative;
    solver->constants = &job->constants;
    void *own = solver->cvode;
    solver->cvode = bench->cvode; /* run_to steps the variant */
    int flag = CVodeReInit(bench->cvode, 0.0, solver->y);
    if (flag == CV_SUCCESS && variant->jacobian != NO_JACOBIAN)
        flag = CVodeSetLSetupFrequency(bench->cvode, variant->setup_frequency);
    int tick = 0;
    int64_t steps = 0;
    const BeatTiming *timing = &job->constants.timing;
    bool atrial[BEAT_TICKS_MAX + 1] = {false};
    for (int i = 0; i < timing->atrial_count; i++) {
        const long onset = lround(timing->atrial[i].onset_s / BEAT_TICK_S);
        if (onset > 0 && onset < job->ticks) atrial[onset] = true;
    }
    for (int end = 1; end <= job->ticks && flag == CV_SUCCESS; end++)
        if (variant->stop_at_ticks || atrial[end] || end == job->ticks)
            flag = run_to(solver, end * BEAT_TICK_S, &tick, samples, &steps);
    solver->cvode = own;
    bench->steps += steps;
    if (variant->jacobian == DENSE_DIFFERENCES) {
        long more = 0;
        CVodeGetNumLinRhsEvals(bench->cvode, &more);
        bench->rates += more;
        CVodeGetNumJacEvals(bench->cvode, &more);
        bench->jacobians += more;
    }
    return flag == CV_SUCCESS;
}

static double larger(double most, double a, double b) {
    return fmax(most, fabs(a - b));
}

static void compare(const Job *job, const Sample *samples, Result *result) {
    double flow = 0.0;
    for (int i = 0; i < job->ticks; i++) {
        const Sample *a = &samples[i], *b = &job->reference[i];
        result->error_mmhg = larger(result->error_mmhg, a->artery_mmhg, b->artery_mmhg);
        result->error_mmhg = larger(result->error_mmhg, a->lv_mmhg, b->lv_mmhg);
        result->error_mmhg = larger(result->error_mmhg, a->pa_mmhg, b->pa_mmhg);
        result->error_mmhg = larger(result->error_mmhg, a->ra_mmhg, b->ra_mmhg);
        result->error_ml = larger(result->error_ml, a->lv_ml, b->lv_ml);
        result->error_ml = larger(result->error_ml, a->rv_ml, b->rv_ml);
        flow += (a->aortic_ml_s + a->left_pump_ml_s - b->aortic_ml_s - b->left_pump_ml_s) / job->ticks;
    }
    result->error_l_min = fmax(result->error_l_min, fabs(flow) / UNITS_ML_S_PER_L_MIN);
}

/* All beats once. With `judge` the work and the error are noted instead of the time. */
static void run(const Variant *variant, const Job *jobs, int count, const Table *tables, int round,
                bool judge, Result *result) {
    static Sample samples[BEAT_TICKS_MAX];
    Bench bench;
    if (!bench_open(&bench, variant, &jobs[0])) {
        result->failed = count;
        return;
    }
    const double begin_s = cpu_s();
    int failed = 0;
    for (int i = 0; i < count; i++) {
        const int person = i / (count / PERSON_COUNT);
        bench.ventricle = &tables[2 * person];
        bench.atrium = &tables[2 * person + 1];
        if (!play(&bench, &jobs[i], samples))
            failed++;
        else if (judge)
            compare(&jobs[i], samples, result);
    }
    if (judge) {
        result->failed = failed;
        result->steps = (double)bench.steps / count;
        result->rates = (double)bench.rates / count;
        result->jacobians = (double)bench.jacobians / count;
    } else {
        result->cpu_s[round] = cpu_s() - begin_s;
    }
    bench_close(&bench);
}

/* ---- the beats ---- */

/* Lets a person beat without slow organs and keeps the last beats. Returns false on failure. */
static bool record(PersonId person, int beats, Job *jobs) {
    const Parameters parameters = model_people_parameters(person);
    const Effects effects = model_effects_none();
    CirculationState state;
    RhythmState rhythm;
    Random random = model_random_seed(1);
    static Beat beat;
    Error error;
    Solver *solver = model_solver_create(&error);
    if (!solver) return false;
    model_circulation_start(&state, &parameters);
    model_rhythm_start(&rhythm, &parameters);
    bool good = true;
    for (int n = 0; good && n < LEAD_IN_BEATS + beats; n++) {
        Job job;
        BeatTiming timing;
        SolverWork work;
        model_rhythm_next(&rhythm, &parameters, &effects, state.breath_frac, &random, &beat, &timing);
        model_circulation_prepare(&job.constants, &parameters, &effects, &state, &timing);
        memcpy(job.y0, state.y, sizeof job.y0);
        job.ticks = beat.ticks;
        job.reference = malloc((size_t)beat.ticks * sizeof *job.reference);
        good = job.reference && model_solver_run(solver, &job.constants, state.y, beat.ticks, 0.0,
                                                 beat.samples, &work, &error) == ERROR_OK;
        state.breath_frac = model_lung_breath_frac(&job.constants.lung, beat.ticks * BEAT_TICK_S);
        if (n >= LEAD_IN_BEATS)
            jobs[n - LEAD_IN_BEATS] = job;
        else
            free(job.reference);
    }
    model_solver_destroy(solver);
    return good;
}

static bool fill_references(Job *jobs, int count) {
    const Variant fine = {PRODUCT, .order_most = 5, .relative = REFERENCE_RELATIVE,
                          .absolute_x = REFERENCE_ABSOLUTE_X, .stop_at_ticks = true};
    Bench bench;
    bool good = bench_open(&bench, &fine, &jobs[0]);
    for (int i = 0; good && i < count; i++)
        good = play(&bench, &jobs[i], jobs[i].reference);
    if (good) bench_close(&bench);
    return good;
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void print_results(Result *results, int rounds, int count, double simulated_s) {
    printf("%d beats of %d base patients, %.0f s simulated; median of %d rounds; work per beat; largest "
           "difference of a\n"
           "sample from a reference at a relative tolerance of %g. Integration and samples only, without "
           "slow organs.\n\n"
           "| variant | x real time | steps | right-hand sides | Jacobians | mmHg | mL | L/min |\n"
           "| --- | --- | --- | --- | --- | --- | --- | --- |\n",
           count, PERSON_COUNT, simulated_s, rounds, REFERENCE_RELATIVE);
    for (int v = 0; v < VARIANT_COUNT; v++) {
        Result *r = &results[v];
        qsort(r->cpu_s, (size_t)rounds, sizeof r->cpu_s[0], by_size);
        printf("| %s | %.0f | %.0f | %.0f | %.1f | %.3f | %.3f | %.4f |", VARIANTS[v].name,
               simulated_s / r->cpu_s[rounds / 2], r->steps, r->rates, r->jacobians, r->error_mmhg,
               r->error_ml, r->error_l_min);
        if (r->failed) printf(" %d beats failed", r->failed);
        putchar('\n');
    }
}

int main(int argc, char **argv) {
    const int rounds = argc > 1 ? atoi(argv[1]) : ROUNDS;
    const int beats = argc > 2 ? atoi(argv[2]) : BEATS;
    if (rounds < 1 || rounds > ROUNDS_MOST || beats < 1 || beats > BEATS_MOST) {
        fprintf(stderr, "usage: bench_solver_variants [rounds 1-%d [beats 1-%d]]\n", ROUNDS_MOST, BEATS_MOST);
        return 2;
    }
    const int count = beats * PERSON_COUNT;
    Job *jobs = calloc((size_t)count, sizeof *jobs);
    Table *tables = calloc(2 * PERSON_COUNT, sizeof *tables);
    Result *results = calloc(VARIANT_COUNT, sizeof *results);
    bool good = jobs && tables && results;
    double simulated_s = 0.0;
    for (int p = 0; good && p < PERSON_COUNT; p++) {
        good = record((PersonId)p, beats, &jobs[p * beats]);
        fill_table(&tables[2 * p], &jobs[p * beats].constants.ventricle);
        fill_table(&tables[2 * p + 1], &jobs[p * beats].constants.atrium);
    }
    for (int i = 0; good && i < count; i++)
        simulated_s += jobs[i].ticks * BEAT_TICK_S;
    good = good && fill_references(jobs, count);
    for (int v = 0; good && v < VARIANT_COUNT; v++)
        run(&VARIANTS[v], jobs, count, tables, 0, true, &results[v]);
    for (int round = 0; good && round < rounds; round++)
        for (int v = 0; v < VARIANT_COUNT; v++)
            run(&VARIANTS[v], jobs, count, tables, round, false, &results[v]);
    if (good) print_results(results, rounds, count, simulated_s);
    for (int i = 0; jobs && i < count; i++)
        free(jobs[i].reference);
    free(results);
    free(tables);
    free(jobs);
    if (!good) fprintf(stderr, "a beat could not be recorded\n");
    return good ? 0 : 1;
}
