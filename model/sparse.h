/* LU factors of a small matrix whose pattern never changes: order, fill and operations are worked out once.
   No pivoting: the integrator's matrix I - gamma J of flows and volumes has large diagonals; a vanishing
   pivot is reported, and the integrator then takes a smaller step. */
#ifndef MODEL_SPARSE_H
#define MODEL_SPARSE_H

#include "model/error.h"

#include <stdbool.h>
#include <stdint.h>

enum { SPARSE_MAX = 32, SPARSE_VALUES_MAX = SPARSE_MAX * SPARSE_MAX, SPARSE_TARGETS_MAX = 11000 };

/* Plan for one pattern; read-only after model_sparse_plan. Values of the matrix lie in one array [count]:
   for each pivot its diagonal, the rest of its row (upper), the rest of its column (lower). */
typedef struct Sparse {
    int n, count, targets;
    int16_t place[SPARSE_VALUES_MAX]; /* [n * n] row-major: index of a value, -1 outside the pattern */
    int16_t order[SPARSE_MAX];        /* pivot k is row and column order[k] of the matrix */
    int16_t diagonal[SPARSE_MAX];
    int16_t upper[SPARSE_MAX], upper_count[SPARSE_MAX];
    int16_t lower[SPARSE_MAX], lower_count[SPARSE_MAX];
    int16_t pivot_of[SPARSE_VALUES_MAX]; /* [count]: the other pivot an upper or lower value belongs to */
    int16_t target[SPARSE_TARGETS_MAX];  /* values changed by the elimination, in order */
} Sparse;

/* Plans for marks[n * n] (non-zero: may be used; the diagonal always is), 1 <= n <= SPARSE_MAX. */
void model_sparse_plan(Sparse *sparse, int n, const unsigned char *marks);

/* Factors values[count] in place. Returns false at a vanishing or non-finite pivot. */
bool model_sparse_factor(const Sparse *sparse, double *values);

/* Solves with factored values; b[n] becomes x[n]. */
void model_sparse_solve(const Sparse *sparse, const double *values, double *b);

#endif
