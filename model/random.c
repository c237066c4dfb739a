/* xoshiro256** (Blackman and Vigna, ACM Trans Math Softw 2021;47:36), seeded by splitmix64. */
#include "model/random.h"

#include "model/smooth.h"

#include <math.h>

static uint64_t rotate_left(uint64_t x, int k) {
    return (x << k) | (x >> (64 - k));
}

Random model_random_seed(uint64_t seed) {
    Random random;
    for (int i = 0; i < 4; i++) {
        seed += UINT64_C(0x9e3779b97f4a7c15);
        uint64_t z = seed;
        z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
        z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
        random.word[i] = z ^ (z >> 31);
    }
    return random;
}

uint64_t model_random_next(Random *random) {
    uint64_t *s = random->word;
    const uint64_t result = rotate_left(s[1] * 5, 7) * 9;
    const uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate_left(s[3], 45);
    return result;
}

double model_random_uniform(Random *random) {
    return (double)(model_random_next(random) >> 11) * 0x1.0p-53;
}

double model_random_normal(Random *random) {
    /* Box and Muller 1958; 1 - u keeps the logarithm's argument above 0 */
    const double radius = sqrt(-2.0 * log(1.0 - model_random_uniform(random)));
    return radius * cos(2.0 * SMOOTH_PI * model_random_uniform(random));
}

double model_random_gamma(Random *random, int shape) {
    double sum = 0;
    for (int i = 0; i < shape; i++)
        sum -= log(1.0 - model_random_uniform(random));
    return sum;
}
