/* Sparse LU against the definition: A x = b. */
#include "model/random.h"
#include "model/sparse.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>

enum { N = 29 };

/* Random pattern with strong diagonal, as I - gamma J is. */
static void solve_random(uint64_t seed) {
    Random random = model_random_seed(seed);
    unsigned char marks[N * N] = {0};
    double dense[N * N] = {0};
    for (int i = 0; i < N; i++)
        for (int j = 0; j < N; j++)
            if (i == j || model_random_uniform(&random) < 0.12) {
                marks[i * N + j] = 1;
                dense[i * N + j] = (i == j ? 3.0 : 0.0) + model_random_normal(&random) * 0.4;
            }
    Sparse *sparse = malloc(sizeof *sparse);
    model_sparse_plan(sparse, N, marks);
    double values[SPARSE_VALUES_MAX] = {0};
    for (int i = 0; i < N * N; i++)
        if (marks[i]) values[sparse->place[i]] = dense[i];
    double expected[N];
    double b[N];
    for (int i = 0; i < N; i++)
        expected[i] = model_random_normal(&random);
    for (int i = 0; i < N; i++) {
        b[i] = 0;
        for (int j = 0; j < N; j++)
            b[i] += dense[i * N + j] * expected[j];
    }
    ck_assert(model_sparse_factor(sparse, values));
    model_sparse_solve(sparse, values, b);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq_tol(b[i], expected[i], 1e-10);
    free(sparse);
}

START_TEST(solve_recovers_the_known_solution) {
    for (uint64_t seed = 1; seed <= 20; seed++)
        solve_random(seed);
}
END_TEST

START_TEST(factor_reports_a_vanishing_pivot) {
    const unsigned char marks[4] = {1, 1, 1, 1};
    Sparse *sparse = malloc(sizeof *sparse);
    model_sparse_plan(sparse, 2, marks);
    double values[4];
    values[sparse->place[0]] = 1;
    values[sparse->place[1]] = 2;
    values[sparse->place[2]] = 2;
    values[sparse->place[3]] = 4;
    ck_assert(!model_sparse_factor(sparse, values));
    free(sparse);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sparse");
    TCase *c = tcase_create("sparse");
    tcase_add_test(c, solve_recovers_the_known_solution);
    tcase_add_test(c, factor_reports_a_vanishing_pivot);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
