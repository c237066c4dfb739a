/* How well one or a few readings tell two groups apart. Plain statistics of textbooks; every reading carries
   the uncertainty with which it is read, so that differences nobody would notice do not count.

   Area under the receiver operating characteristic: the probability that a reading of one group lies above
   one of the other, ties counted half; the Mann-Whitney U over n1 n2 (Mann and Whitney, Ann Math Stat
   1947;18:50; Hanley and McNeil, Radiology 1982;143:29). Read with an uncertainty of sd each, a pair counts
   by Phi((a - b) / (sqrt 2 sd)). d': difference of the means over the pooled spread (Green and Swets, Signal
   detection theory, 1966). Discriminant: w = (S + R)^-1 (mean a - mean b), S pooled covariance (Fisher, Ann
   Eugen 1936;7:179), R ridge (Friedman, J Am Stat Assoc 1989;84:165), here the readings' own variances.
   Words: 0.7 and more acceptable, 0.9 and more outstanding discrimination (Hosmer, Lemeshow and Sturdivant,
   Applied logistic regression, 3rd ed. 2013, 5.2.4). */
#ifndef SIM_SEPARATION_H
#define SIM_SEPARATION_H

#include <stdbool.h>

enum { SEPARATION_GROUP_MAX = 64, SEPARATION_FEATURES_MAX = 4, SEPARATION_CANDIDATES_MAX = 40 };

#define SEPARATION_PARTLY 0.7 /* area from which two groups are partly told apart */
#define SEPARATION_APART  0.9 /* and from which they are told apart */

/* Area of a[na] above b[nb] (1: all above, 0: all below, 0.5: not told apart); sd >= 0 is the uncertainty of
   a reading, in its unit. NaN for an empty group or a value that is not finite. */
double sim_separation_area(const double *a, int na, const double *b, int nb, double sd);

/* (mean a - mean b) / sqrt((var a + var b) / 2 + sd^2); 0 when nothing spreads and nothing differs. Groups of
   two or more; NaN otherwise. */
double sim_separation_d_prime(const double *a, int na, const double *b, int nb, double sd);

/* Weights of the discriminant of a[na] and b[nb], rows of `features` (1..SEPARATION_FEATURES_MAX) readings
   each; ridge[features] is added to the diagonal of the pooled covariance. False when it cannot be solved. */
bool sim_separation_discriminant(const double *a, int na, const double *b, int nb, int features,
                                 const double *ridge, double *weights);

/* Readings of two groups, in units of their own uncertainty (so that each has sd 1). */
typedef struct SeparationTable {
    int na, nb;     /* 2..SEPARATION_GROUP_MAX each */
    int candidates; /* 1..SEPARATION_CANDIDATES_MAX */
    double a[SEPARATION_GROUP_MAX][SEPARATION_CANDIDATES_MAX];
    double b[SEPARATION_GROUP_MAX][SEPARATION_CANDIDATES_MAX];
} SeparationTable;

/* Area of the discriminant on the `features` candidates with the largest d', each person judged by weights
   and candidates found without that person (leave one out), so that it is not flattered. At least 0.5. */
double sim_separation_discriminant_area(const SeparationTable *table, int features);

/* The candidate whose area lies farthest from 0.5; *area is folded to 0.5..1. */
int sim_separation_best(const SeparationTable *table, double *area);

#endif
