/* Fixed-pattern sparse LU: least-degree order, symbolic fill, numeric factors without index search. */
#include "model/sparse.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define PIVOT_LEAST 1e-12

/* Rows and columns a pivot would couple: the fewer, the less fill. */
static int degree(int n, const unsigned char *marks, const bool *done, int k) {
    int rows = 0;
    int columns = 0;
    for (int i = 0; i < n; i++) {
        if (done[i] || i == k) continue;
        rows += marks[i * n + k] != 0;
        columns += marks[k * n + i] != 0;
    }
    return rows * columns;
}

/* Chooses the order by least fill (Markowitz count) and adds the fill to marks. */
static void choose_order(Sparse *sparse, int n, unsigned char *marks) {
    bool done[SPARSE_MAX] = {false};
    for (int step = 0; step < n; step++) {
        int best = -1;
        int best_degree = 0;
        for (int k = 0; k < n; k++) {
            if (done[k]) continue;
            const int d = degree(n, marks, done, k);
            if (best < 0 || d < best_degree) {
                best = k;
                best_degree = d;
            }
        }
        sparse->order[step] = (int16_t)best;
        done[best] = true;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                if (!done[i] && !done[j] && marks[i * n + best] && marks[best * n + j]) marks[i * n + j] = 1;
    }
}

/* Lays out the values, pivot by pivot. */
static void lay_out(Sparse *sparse, int n, const unsigned char *marks) {
    memset(sparse->place, -1, sizeof sparse->place);
    int16_t count = 0;
    for (int k = 0; k < n; k++) {
        const int p = sparse->order[k];
        sparse->diagonal[k] = count;
        sparse->place[p * n + p] = count++;
        sparse->upper[k] = count;
        for (int j = k + 1; j < n; j++) {
            const int q = sparse->order[j];
            if (marks[p * n + q]) {
                sparse->pivot_of[count] = (int16_t)j;
                sparse->place[p * n + q] = count++;
            }
        }
        sparse->upper_count[k] = (int16_t)(count - sparse->upper[k]);
        sparse->lower[k] = count;
        for (int i = k + 1; i < n; i++) {
            const int q = sparse->order[i];
            if (marks[q * n + p]) {
                sparse->pivot_of[count] = (int16_t)i;
                sparse->place[q * n + p] = count++;
            }
        }
        sparse->lower_count[k] = (int16_t)(count - sparse->lower[k]);
    }
    sparse->count = count;
}

void model_sparse_plan(Sparse *sparse, int n, const unsigned char *given) {
    assert(n >= 1 && n <= SPARSE_MAX);
    unsigned char marks[SPARSE_VALUES_MAX];
    memset(sparse, 0, sizeof *sparse);
    memcpy(marks, given, (size_t)(n * n));
    for (int i = 0; i < n; i++)
        marks[i * n + i] = 1;
    sparse->n = n;
    choose_order(sparse, n, marks);
    lay_out(sparse, n, marks);

    int t = 0;
    for (int k = 0; k < n; k++)
        for (int l = 0; l < sparse->lower_count[k]; l++)
            for (int u = 0; u < sparse->upper_count[k]; u++) {
                const int row = sparse->order[sparse->pivot_of[sparse->lower[k] + l]];
                const int column = sparse->order[sparse->pivot_of[sparse->upper[k] + u]];
                assert(t < SPARSE_TARGETS_MAX && sparse->place[row * n + column] >= 0);
                sparse->target[t++] = sparse->place[row * n + column];
            }
    sparse->targets = t;
}

bool model_sparse_factor(const Sparse *sparse, double *values) {
    const int16_t *target = sparse->target;
    for (int k = 0; k < sparse->n; k++) {
        const double pivot = values[sparse->diagonal[k]];
        if (!(fabs(pivot) > PIVOT_LEAST) || !isfinite(pivot)) return false;
        const double inverse = 1.0 / pivot;
        values[sparse->diagonal[k]] = inverse; /* kept inverted for the solve */
        const double *upper = &values[sparse->upper[k]];
        double *lower = &values[sparse->lower[k]];
        const int upper_count = sparse->upper_count[k];
        for (int l = 0; l < sparse->lower_count[k]; l++) {
            const double factor = lower[l] * inverse;
            lower[l] = factor;
            for (int u = 0; u < upper_count; u++)
                values[*target++] -= factor * upper[u];
        }
    }
    return true;
}

void model_sparse_solve(const Sparse *sparse, const double *values, double *b) {
    double x[SPARSE_MAX];
    const int n = sparse->n;
    for (int k = 0; k < n; k++)
        x[k] = b[sparse->order[k]];
    for (int k = 0; k < n; k++) {
        const double *lower = &values[sparse->lower[k]];
        const int16_t *row = &sparse->pivot_of[sparse->lower[k]];
        const int count = sparse->lower_count[k];
        const double known = x[k];
        for (int l = 0; l < count; l++)
            x[row[l]] -= lower[l] * known;
    }
    for (int k = n - 1; k >= 0; k--) {
        const double *upper = &values[sparse->upper[k]];
        const int16_t *column = &sparse->pivot_of[sparse->upper[k]];
        const int count = sparse->upper_count[k];
        double sum = x[k];
        for (int u = 0; u < count; u++)
            sum -= upper[u] * x[column[u]];
        x[k] = sum * values[sparse->diagonal[k]];
    }
    for (int k = 0; k < n; k++)
        b[sparse->order[k]] = x[k];
}
