/* How well readings tell two groups apart. */
#include "sim/separation.h"

#include <math.h>
#include <string.h>

#define NEVER 0.5 /* area of what does not tell apart */

static const double SQRT_2 = 1.41421356237309504880;

/* Share of a pair of readings that counts as "a above b". */
static double above(double a, double b, double sd) {
    if (sd > 0.0) return 0.5 * erfc((b - a) / (SQRT_2 * sd) / SQRT_2);
    return a > b ? 1.0 : a < b ? 0.0 : 0.5;
}

double sim_separation_area(const double *a, int na, const double *b, int nb, double sd) {
    double sum = 0.0;
    for (int i = 0; i < na; i++) {
        for (int k = 0; k < nb; k++)
            sum += isfinite(a[i]) && isfinite(b[k]) ? above(a[i], b[k], sd) : NAN;
    }
    return sum / (na * (double)nb);
}

static double mean_of(const double *x, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += x[i];
    return sum / n;
}

static double variance_of(const double *x, int n, double mean) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += (x[i] - mean) * (x[i] - mean);
    return sum / (n - 1);
}

double sim_separation_d_prime(const double *a, int na, const double *b, int nb, double sd) {
    if (na < 2 || nb < 2) return NAN;
    double mean_a = mean_of(a, na), mean_b = mean_of(b, nb);
    double spread = sqrt((variance_of(a, na, mean_a) + variance_of(b, nb, mean_b)) / 2.0 + sd * sd);
    double difference = mean_a - mean_b;
    if (spread > 0.0) return difference / spread;
    return difference > 0.0 ? INFINITY : difference < 0.0 ? -INFINITY : 0.0;
}

/* Adds sums of squares and products around the mean. */
static void add_spread(const double *rows, int n, int features, const double *mean,
                       double s[SEPARATION_FEATURES_MAX][SEPARATION_FEATURES_MAX]) {
    for (int i = 0; i < n; i++) {
        const double *row = rows + i * features;
        for (int j = 0; j < features; j++) {
            for (int k = 0; k < features; k++)
                s[j][k] += (row[j] - mean[j]) * (row[k] - mean[k]);
        }
    }
}

static void column_means(const double *rows, int n, int features, double *mean) {
    for (int j = 0; j < features; j++) {
        mean[j] = 0.0;
        for (int i = 0; i < n; i++)
            mean[j] += rows[i * features + j] / n;
    }
}

/* Solves s x = y for a symmetric positive definite s (Cholesky, in place); false if it is not. */
static bool solve(double s[SEPARATION_FEATURES_MAX][SEPARATION_FEATURES_MAX], int n, const double *y,
                  double *x) {
    for (int j = 0; j < n; j++) {
        for (int k = 0; k < j; k++)
            s[j][j] -= s[j][k] * s[j][k];
        if (!(s[j][j] > 0.0)) return false;
        s[j][j] = sqrt(s[j][j]);
        for (int i = j + 1; i < n; i++) {
            for (int k = 0; k < j; k++)
                s[i][j] -= s[i][k] * s[j][k];
            s[i][j] /= s[j][j];
        }
    }
    for (int i = 0; i < n; i++) {
        x[i] = y[i];
        for (int k = 0; k < i; k++)
            x[i] -= s[i][k] * x[k];
        x[i] /= s[i][i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++)
            x[i] -= s[k][i] * x[k];
        x[i] /= s[i][i];
    }
    return true;
}

bool sim_separation_discriminant(const double *a, int na, const double *b, int nb, int features,
                                 const double *ridge, double *weights) {
    double s[SEPARATION_FEATURES_MAX][SEPARATION_FEATURES_MAX] = {{0}};
    double mean_a[SEPARATION_FEATURES_MAX], mean_b[SEPARATION_FEATURES_MAX], y[SEPARATION_FEATURES_MAX];
    if (na < 1 || nb < 1 || na + nb < 3 || features < 1 || features > SEPARATION_FEATURES_MAX) return false;
    column_means(a, na, features, mean_a);
    column_means(b, nb, features, mean_b);
    add_spread(a, na, features, mean_a, s);
    add_spread(b, nb, features, mean_b, s);
    for (int j = 0; j < features; j++) {
        for (int k = 0; k < features; k++)
            s[j][k] /= na + nb - 2;
        s[j][j] += ridge[j];
        y[j] = mean_a[j] - mean_b[j];
    }
    return solve(s, features, y, weights);
}

/* ---- leave one out ---- */

/* Copies column c of a group without row `left_out` (-1: all); returns how many. */
static int column(const double rows[][SEPARATION_CANDIDATES_MAX], int n, int c, int left_out, double *out) {
    int count = 0;
    for (int i = 0; i < n; i++)
        if (i != left_out) out[count++] = rows[i][c];
    return count;
}

/* The candidates with the largest d' among those kept; returns how many. */
static int choose(const SeparationTable *t, int out_a, int out_b, int features, int *chosen) {
    double score[SEPARATION_CANDIDATES_MAX], a[SEPARATION_GROUP_MAX], b[SEPARATION_GROUP_MAX];
    for (int c = 0; c < t->candidates; c++) {
        int na = column(t->a, t->na, c, out_a, a), nb = column(t->b, t->nb, c, out_b, b);
        score[c] = fabs(sim_separation_d_prime(a, na, b, nb, 1.0));
    }
    int count = 0;
    for (; count < features && count < t->candidates; count++) {
        int best = -1;
        for (int c = 0; c < t->candidates; c++)
            if (isfinite(score[c]) && (best < 0 || score[c] > score[best])) best = c;
        if (best < 0) break;
        chosen[count] = best;
        score[best] = NAN;
    }
    return count;
}

static void gather(const double rows[][SEPARATION_CANDIDATES_MAX], int n, int left_out, const int *chosen,
                   int features, double *out) {
    for (int i = 0; i < n; i++) {
        if (i == left_out) continue;
        for (int j = 0; j < features; j++)
            *out++ = rows[i][chosen[j]];
    }
}

/* Score of one person by a discriminant found without that person, in units of its own uncertainty; above 0:
   group a. NaN if there is none. */
static double judge(const SeparationTable *t, int out_a, int out_b, int most) {
    static const double RIDGE[SEPARATION_FEATURES_MAX] = {1.0, 1.0, 1.0, 1.0};
    double a[SEPARATION_GROUP_MAX * SEPARATION_FEATURES_MAX],
        b[SEPARATION_GROUP_MAX * SEPARATION_FEATURES_MAX];
    double w[SEPARATION_FEATURES_MAX], mean_a[SEPARATION_FEATURES_MAX], mean_b[SEPARATION_FEATURES_MAX];
    int chosen[SEPARATION_FEATURES_MAX];
    int features = choose(t, out_a, out_b, most, chosen);
    int na = t->na - (out_a >= 0), nb = t->nb - (out_b >= 0);
    if (features == 0) return NAN;
    gather(t->a, t->na, out_a, chosen, features, a);
    gather(t->b, t->nb, out_b, chosen, features, b);
    if (!sim_separation_discriminant(a, na, b, nb, features, RIDGE, w)) return NAN;
    column_means(a, na, features, mean_a);
    column_means(b, nb, features, mean_b);
    const double *person = out_a >= 0 ? t->a[out_a] : t->b[out_b];
    double score = 0.0, length = 0.0;
    for (int j = 0; j < features; j++) {
        score += w[j] * (person[chosen[j]] - 0.5 * (mean_a[j] + mean_b[j]));
        length += w[j] * w[j];
    }
    return length > 0.0 ? score / sqrt(length) : 0.0;
}

double sim_separation_discriminant_area(const SeparationTable *t, int features) {
    double a[SEPARATION_GROUP_MAX], b[SEPARATION_GROUP_MAX];
    int most = features < SEPARATION_FEATURES_MAX ? features : SEPARATION_FEATURES_MAX;
    for (int i = 0; i < t->na; i++)
        a[i] = judge(t, i, -1, most);
    for (int i = 0; i < t->nb; i++)
        b[i] = judge(t, -1, i, most);
    double area = sim_separation_area(a, t->na, b, t->nb, 1.0);
    return isfinite(area) ? fmax(area, NEVER) : NAN;
}

int sim_separation_best(const SeparationTable *t, double *area) {
    double a[SEPARATION_GROUP_MAX], b[SEPARATION_GROUP_MAX];
    int best = -1;
    *area = NAN;
    for (int c = 0; c < t->candidates; c++) {
        int na = column(t->a, t->na, c, -1, a), nb = column(t->b, t->nb, c, -1, b);
        double one = sim_separation_area(a, na, b, nb, 1.0);
        if (!isfinite(one)) continue;
        one = fmax(one, 1.0 - one);
        if (best >= 0 && one <= *area) continue;
        best = c;
        *area = one;
    }
    return best;
}
