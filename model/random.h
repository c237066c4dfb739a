/* Seeded generator kept inside the state, so that a copied state repeats the same draws. */
#ifndef MODEL_RANDOM_H
#define MODEL_RANDOM_H

#include <stdint.h>

/* xoshiro256** state (Blackman and Vigna 2018). Seed with model_random_seed before use. */
typedef struct Random {
    uint64_t word[4];
} Random;

/* Fills the state from any 64-bit seed (splitmix64), 0 included. */
Random model_random_seed(uint64_t seed);

/* Next 64 random bits. */
uint64_t model_random_next(Random *random);

/* Uniform in [0, 1), 53 bits. */
double model_random_uniform(Random *random);

/* Standard normal deviate (polar method would keep a spare; this one keeps none, so the state stays flat). */
double model_random_normal(Random *random);

/* Gamma deviate with integer shape >= 1 and scale 1 (sum of exponentials). */
double model_random_gamma(Random *random, int shape);

#endif
