/* Rhythms as events: intervals, onsets, strength of each beat. */
#include "model/rhythm.h"

#include "model/smooth.h"
#include "model/units.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { TICKS_LEAST = 60, TICKS_QUIET = 250, GAMMA_SHAPE = 4 };

#define PERIOD_LEAST_S            0.33 /* shortest sinus period; Ursino 1998 form */
#define FIBRILLATION_LEAST_S      0.35 /* shortest interval in atrial fibrillation; Hennig 2006 for the shape */
#define FIBRILLATION_MEAN_LEAST_S 0.42
#define PR_FULL_RR_S              0.8  /* below this interval PR shortens with its square root */
#define RESTITUTION_DEAD_S        0.25 /* interval without any strength */
#define POTENTIATION_DECAY_S      0.6
#define REFERENCE_SHARE           0.1 /* of a new interval in the slow average */
#define STRENGTH_MOST             1.6
#define FORCE_LEAST               0.6 /* limits of the change of strength with rate */
#define FORCE_MOST                1.4
#define FORGET_S                  -8.0 /* onsets longer ago than this are dropped */
#define CAPTURE_SURE              1.2 /* times the threshold: always captures; between, now and then (from memory) */
#define CAPTURE_NEVER             0.8
#define BLOCK_SLACK               1e-9

static const Activation NO_ACTIVATION = {.onset_s = FORGET_S};

void model_rhythm_start(RhythmState *rhythm, const Parameters *parameters) {
    memset(rhythm, 0, sizeof *rhythm);
    for (int i = 0; i < 2; i++) {
        rhythm->ventricular[i] = NO_ACTIVATION;
        rhythm->atrial[i] = NO_ACTIVATION;
    }
    rhythm->rr_reference_s = UNITS_S_PER_MIN / parameters->sinus_rate_per_min;
    rhythm->atrial_wait_s = rhythm->rr_reference_s;
}

/* Period of the sinus node now, s. */
static double sinus_period_s(const Parameters *p, const Effects *effects, double breath_frac) {
    const double base_s = UNITS_S_PER_MIN / (p->sinus_rate_per_min * effects->hr_x);
    const double breathing =
        p->respiratory_arrhythmia_frac * p->reflex_heart_gain * -sin(2.0 * SMOOTH_PI * breath_frac);
    return fmax((base_s + effects->reflex_period_s) * (1.0 + breathing), PERIOD_LEAST_S);
}

/* Mechanical restitution at interval `rr_s`, 1 at the reference interval. */
static double restitution(const Parameters *p, double rr_s, double reference_s) {
    const double now = 1.0 - exp(-fmax(rr_s - RESTITUTION_DEAD_S, 0.0) / p->restitution_s);
    const double usual = 1.0 - exp(-fmax(reference_s - RESTITUTION_DEAD_S, 0.02) / p->restitution_s);
    return now / usual;
}

/* Strength of the beat that starts now, from the interval before it; moves the potentiation on. */
static double beat_strength(RhythmState *rhythm, const Parameters *p, double hr_x) {
    const double rr_s = rhythm->rr_s[1];
    const double above_per_min = UNITS_S_PER_MIN / rhythm->rr_reference_s - p->sinus_rate_per_min * hr_x;
    const double force_x = fmin(fmax(1.0 + p->force_frequency_min * above_per_min, FORCE_LEAST), FORCE_MOST);
    if (rr_s <= 0) return force_x;
    const double strength =
        force_x * restitution(p, rr_s, rhythm->rr_reference_s) * (1.0 + rhythm->potentiation);
    rhythm->potentiation = rhythm->potentiation * exp(-rr_s / POTENTIATION_DECAY_S) +
                           p->potentiation_x * fmax(0.0, 1.0 - rr_s / rhythm->rr_reference_s);
    return fmin(strength, STRENGTH_MOST);
}

static bool is_quiet(RhythmKind kind) {
    return kind == RHYTHM_VENTRICULAR_FIBRILLATION || kind == RHYTHM_ASYSTOLE;
}

static bool is_paced(RhythmKind kind) {
    return kind == RHYTHM_PACED_ATRIAL || kind == RHYTHM_PACED_VENTRICULAR || kind == RHYTHM_PACED_BOTH;
}

/* Whether a pacing spike captures: always well above the threshold, never well below, now and then between.
 */
static bool captures(double output_ma, double threshold_ma, Random *random) {
    const double margin = output_ma / threshold_ma;
    if (margin >= CAPTURE_SURE) return true;
    if (margin <= CAPTURE_NEVER) return false;
    return model_random_uniform(random) < (margin - CAPTURE_NEVER) / (CAPTURE_SURE - CAPTURE_NEVER);
}

/* The rhythm that goes on: a silent heart under wires that do not capture stays silent. */
static RhythmKind kind_in_force(const Parameters *p, Random *random) {
    const RhythmKind kind = (RhythmKind)lround(p->rhythm_kind);
    if (!is_paced(kind) || lround(p->underlying_rhythm_kind) != RHYTHM_ASYSTOLE) return kind;
    const bool atrial = kind != RHYTHM_PACED_VENTRICULAR && p->av_block_frac < 1.0 &&
                        captures(p->pacing_output_ma, p->atrial_threshold_ma, random);
    const bool ventricular =
        kind != RHYTHM_PACED_ATRIAL && captures(p->pacing_output_ma, p->ventricular_threshold_ma, random);
    return atrial || ventricular ? kind : RHYTHM_ASYSTOLE;
}

/* How the interval that begins now ends. */
typedef struct Interval {
    double s;            /* to the next ventricular onset, before rounding to ticks */
    double atrial_s;     /* between atrial onsets */
    double lost_spike_s; /* a spike without capture, from the start; 0: none */
    RhythmOrigin origin; /* of the next ventricular beat */
    bool paced_atrium;
    bool own_atria;   /* the atria keep their own clock */
    bool still_atria; /* they do not contract */
} Interval;

static double fibrillation_interval_s(double sinus_s, Random *random) {
    const double mean_s = fmax(sinus_s, FIBRILLATION_MEAN_LEAST_S);
    return FIBRILLATION_LEAST_S +
           (mean_s - FIBRILLATION_LEAST_S) * model_random_gamma(random, GAMMA_SHAPE) / GAMMA_SHAPE;
}

/* Conduction of atrial beats `interval->s` apart: beats that are dropped lengthen the interval, until the
   ventricles escape. */
static void conduct(RhythmState *rhythm, const Parameters *p, RhythmOrigin conducted, Interval *interval) {
    interval->origin = conducted;
    if (p->av_block_frac <= 0.0) return;
    const double escape_s = UNITS_S_PER_MIN / p->escape_rate_per_min;
    double dropped = 0.0;
    if (p->av_block_frac < 1.0) {
        rhythm->blocked += p->av_block_frac / (1.0 - p->av_block_frac);
        dropped = floor(rhythm->blocked + BLOCK_SLACK);
        rhythm->blocked = fmax(rhythm->blocked - dropped, 0.0);
        interval->s *= 1.0 + dropped;
    }
    if (p->av_block_frac >= 1.0 || interval->s > escape_s) {
        rhythm->blocked = 0.0;
        interval->s = escape_s;
        interval->origin = RHYTHM_ORIGIN_ESCAPE;
        dropped = 1.0;
    }
    if (dropped > 0.0) interval->own_atria = true;
}

/* Ventricular pacing: waits for the heart's own beats if it senses; without capture they are all there is. */
static void pace_ventricles(RhythmState *rhythm, const Parameters *p, double pacing_s, Random *random,
                            Interval *interval) {
    const long underlying = lround(p->underlying_rhythm_kind);
    interval->still_atria = underlying != RHYTHM_SINUS;
    if (underlying == RHYTHM_ASYSTOLE) {
        interval->s = pacing_s;
        interval->own_atria = true;
        return;
    }
    if (underlying == RHYTHM_ATRIAL_FIBRILLATION) interval->s = fibrillation_interval_s(interval->s, random);
    Interval own = *interval;
    RhythmState after = *rhythm;
    conduct(&after, p, RHYTHM_ORIGIN_CONDUCTED, &own);
    const bool waits = p->ventricular_sensing > 0.5 && own.s < pacing_s;
    const bool captured = !waits && captures(p->pacing_output_ma, p->ventricular_threshold_ma, random);
    if (captured) {
        interval->s = pacing_s;
        interval->own_atria = true;
        return;
    }
    *rhythm = after;
    *interval = own;
    if (!waits && pacing_s < own.s) interval->lost_spike_s = pacing_s;
}

/* Pacing of the atria, and of the ventricles after them. */
static void pace_atria(RhythmState *rhythm, const Parameters *p, bool both, double pacing_s, Random *random,
                       Interval *interval) {
    /* on demand: a faster sinus node inhibits the wires */
    const double sinus_s = interval->s;
    const bool atrial = captures(p->pacing_output_ma, p->atrial_threshold_ma, random);
    interval->paced_atrium = atrial && pacing_s < sinus_s;
    if (interval->paced_atrium) interval->s = interval->atrial_s = pacing_s;
    if (!both) {
        conduct(rhythm, p, RHYTHM_ORIGIN_USUAL, interval);
        return;
    }
    if (captures(p->pacing_output_ma, p->ventricular_threshold_ma, random)) {
        if (!atrial && pacing_s < sinus_s) {
            interval->s = pacing_s;
            interval->own_atria = true;
        }
        return;
    }
    interval->lost_spike_s = interval->s;
    conduct(rhythm, p, RHYTHM_ORIGIN_CONDUCTED, interval);
    if (interval->lost_spike_s >= interval->s) interval->lost_spike_s = 0.0;
}

/* Interval from this ventricular onset to the next. */
static Interval interval_to_next(RhythmState *rhythm, RhythmKind kind, const Parameters *p, double sinus_s,
                                 Random *random) {
    const double pacing_s = UNITS_S_PER_MIN / p->pacing_rate_per_min;
    Interval interval = {.s = sinus_s, .atrial_s = sinus_s, .origin = RHYTHM_ORIGIN_USUAL};
    switch (kind) {
    case RHYTHM_ATRIAL_FIBRILLATION:
        interval.s = fibrillation_interval_s(sinus_s, random);
        interval.still_atria = true;
        conduct(rhythm, p, RHYTHM_ORIGIN_USUAL, &interval);
        break;
    case RHYTHM_PACED_ATRIAL:
    case RHYTHM_PACED_BOTH:
        pace_atria(rhythm, p, kind == RHYTHM_PACED_BOTH, pacing_s, random, &interval);
        break;
    case RHYTHM_PACED_VENTRICULAR:
        pace_ventricles(rhythm, p, pacing_s, random, &interval);
        break;
    case RHYTHM_VENTRICULAR_TACHYCARDIA:
        interval.s = UNITS_S_PER_MIN / p->ventricular_tachycardia_rate_per_min;
        interval.own_atria = true;
        break;
    default:
        conduct(rhythm, p, RHYTHM_ORIGIN_USUAL, &interval);
        break;
    }
    return interval;
}

/* Adds an atrial onset `tick` ticks after the beat's start, if there is room. */
static void add_atrial(Beat *beat, BeatTiming *timing, int tick) {
    if (beat->atrial_count >= BEAT_ATRIAL_MAX || tick < 1 || tick >= beat->ticks) return;
    beat->atrial_tick[beat->atrial_count++] = tick;
    timing->atrial[timing->atrial_count++] = (Activation){.onset_s = tick * BEAT_TICK_S, .strength = 1.0};
}

/* Atria that do not follow the ventricles: their own clock at the sinus rate. */
static void add_own_atria(RhythmState *rhythm, double sinus_s, Beat *beat, BeatTiming *timing) {
    const double length_s = beat->ticks * BEAT_TICK_S;
    while (rhythm->atrial_wait_s < length_s) {
        /* an onset on the edge of the beat is moved inside, not lost */
        const int tick = (int)lround(rhythm->atrial_wait_s / BEAT_TICK_S);
        add_atrial(beat, timing, tick < 1 ? 1 : tick >= beat->ticks ? beat->ticks - 1 : tick);
        rhythm->atrial_wait_s += sinus_s;
    }
    rhythm->atrial_wait_s -= length_s;
}

/* Atrial onset one PR interval before the next ventricular onset, `length_s` from now. */
static void add_conducted_atrium(RhythmState *rhythm, const Parameters *p, double sinus_s, Beat *beat,
                                 BeatTiming *timing) {
    const double length_s = beat->ticks * BEAT_TICK_S;
    const double pr_s = p->pr_interval_s * fmin(1.0, sqrt(length_s / PR_FULL_RR_S));
    const int tick = beat->ticks - (int)lround(pr_s / BEAT_TICK_S);
    add_atrial(beat, timing, tick < 1 ? 1 : tick);
    rhythm->atrial_wait_s = fmax(sinus_s - pr_s, BEAT_TICK_S);
}

/* Shifts the remembered onsets to the start of the next beat, `length_s` later. */
static void remember(RhythmState *rhythm, const BeatTiming *timing, double length_s) {
    for (int i = 0; i < 2; i++) {
        rhythm->ventricular[i] = timing->ventricular[i];
        rhythm->ventricular[i].onset_s -= length_s;
        const int from = timing->atrial_count - 2 + i;
        rhythm->atrial[i] = from >= 0 ? timing->atrial[from] : NO_ACTIVATION;
        rhythm->atrial[i].onset_s -= length_s;
        if (rhythm->ventricular[i].onset_s < FORGET_S) rhythm->ventricular[i] = NO_ACTIVATION;
        if (rhythm->atrial[i].onset_s < FORGET_S) rhythm->atrial[i] = NO_ACTIVATION;
    }
}

/* Length in ticks; what does not fit is carried to the next beat, so that the mean rate is exact. */
static int whole_ticks(RhythmState *rhythm, double length_s) {
    const double wanted_s = length_s + rhythm->period_carry_s;
    long ticks = lround(wanted_s / BEAT_TICK_S);
    if (ticks < TICKS_LEAST) ticks = TICKS_LEAST;
    if (ticks > BEAT_TICKS_MAX) ticks = BEAT_TICKS_MAX;
    rhythm->period_carry_s = fmin(fmax(wanted_s - (double)ticks * BEAT_TICK_S, -BEAT_TICK_S), BEAT_TICK_S);
    return (int)ticks;
}

/* A second without ventricular beats. */
static void quiet_interval(RhythmState *rhythm, RhythmKind kind, const Parameters *p, Beat *beat,
                           BeatTiming *timing) {
    beat->ticks = TICKS_QUIET;
    timing->tone_frac = kind == RHYTHM_VENTRICULAR_FIBRILLATION ? p->fibrillation_tone_frac : 0.0;
    rhythm->rr_s[0] = rhythm->rr_s[1] = 0.0;
    rhythm->potentiation = 0.0;
    rhythm->ectopic_next = 0;
    rhythm->origin_next = RHYTHM_ORIGIN_USUAL;
    beat->lost_spike_tick = is_paced((RhythmKind)lround(p->rhythm_kind)) ? 1 : 0;
}

/* Whether the beat starts in the ventricles and so spreads slowly. */
static bool starts_in_ventricles(RhythmKind kind, RhythmOrigin origin, bool ectopic) {
    if (ectopic || kind == RHYTHM_VENTRICULAR_TACHYCARDIA || origin == RHYTHM_ORIGIN_ESCAPE) return true;
    return origin == RHYTHM_ORIGIN_USUAL && (kind == RHYTHM_PACED_VENTRICULAR || kind == RHYTHM_PACED_BOTH);
}

/* Strength of the ventricles by where their beat comes from. */
static double origin_strength(RhythmKind kind, const Parameters *p, bool in_ventricles) {
    if (kind == RHYTHM_VENTRICULAR_TACHYCARDIA) return p->tachycardia_ees_x;
    return in_ventricles ? p->ventricular_pacing_ees_x : 1.0;
}

/* The ventricular onset at time 0: strength and stretch from the intervals before it. */
static Activation ventricular_onset(RhythmState *rhythm, RhythmKind kind, const Parameters *p,
                                    bool in_ventricles, double usual_s, double hr_x) {
    double before_s = rhythm->rr_s[1] > 0 ? rhythm->rr_s[1] : usual_s;
    if (kind == RHYTHM_ATRIAL_FIBRILLATION && rhythm->rr_s[0] > 0)
        before_s = 0.5 * (rhythm->rr_s[0] + before_s);
    const double origin_x = in_ventricles ? p->ventricular_origin_stretch_x : 1.0;
    return (Activation){.onset_s = 0.0,
                        .log_scale = log(origin_x * model_activation_systole_scale(before_s)),
                        .strength = beat_strength(rhythm, p, hr_x)};
}

void model_rhythm_next(RhythmState *rhythm, const Parameters *p, const Effects *effects, double breath_frac,
                       Random *random, Beat *beat, BeatTiming *timing) {
    const RhythmKind kind = kind_in_force(p, random);
    const double sinus_s = sinus_period_s(p, effects, breath_frac);
    memset(timing, 0, sizeof *timing);
    timing->ventricular_ees_x = 1.0;
    timing->atrial_count = 2;
    for (int i = 0; i < 2; i++) {
        timing->ventricular[i] = rhythm->ventricular[i];
        timing->atrial[i] = rhythm->atrial[i];
    }
    beat->rhythm = kind;
    beat->ventricular = !is_quiet(kind);
    beat->ectopic = false;
    beat->paced_atrial = beat->paced_ventricular = false;
    beat->atrial_count = 0;
    if (!beat->ventricular) {
        quiet_interval(rhythm, kind, p, beat, timing);
        timing->ticks = beat->ticks;
        remember(rhythm, timing, beat->ticks * BEAT_TICK_S);
        return;
    }

    const RhythmOrigin origin = (RhythmOrigin)rhythm->origin_next;
    const Interval interval = interval_to_next(rhythm, kind, p, sinus_s, random);
    const double usual_s = interval.s;
    double length_s = interval.s;
    beat->ectopic = rhythm->ectopic_next != 0;
    const bool in_ventricles = starts_in_ventricles(kind, origin, beat->ectopic);
    const bool paced = kind == RHYTHM_PACED_VENTRICULAR || kind == RHYTHM_PACED_BOTH;
    beat->paced_ventricular = paced && origin == RHYTHM_ORIGIN_USUAL;
    beat->paced_atrial = interval.paced_atrium;
    beat->lost_spike_tick = (int)lround(interval.lost_spike_s / BEAT_TICK_S);
    rhythm->origin_next = (int32_t)interval.origin;
    timing->ventricular[0] = rhythm->ventricular[1];
    timing->ventricular[1] = ventricular_onset(rhythm, kind, p, in_ventricles, usual_s, effects->hr_x);
    timing->ventricular_ees_x = origin_strength(kind, p, in_ventricles);

    bool premature = false;
    if (beat->ectopic) {
        /* compensatory pause: the next conducted beat comes two usual intervals after the last one */
        length_s = fmax(2.0 * usual_s - rhythm->rr_s[1], usual_s);
        rhythm->ectopic_next = 0;
    } else if (p->ectopic_per_min > 0 && !interval.own_atria) {
        premature = model_random_uniform(random) < p->ectopic_per_min * usual_s / UNITS_S_PER_MIN;
        if (premature) length_s = fmin(p->ectopic_coupling_s, usual_s);
        rhythm->ectopic_next = premature;
    }
    beat->ticks = whole_ticks(rhythm, length_s);
    timing->ticks = beat->ticks;

    if (interval.own_atria && !interval.still_atria)
        add_own_atria(rhythm, interval.atrial_s, beat, timing);
    else if (!interval.still_atria) {
        /* the sinus beat that a premature beat has overtaken falls into its systole */
        if (beat->ectopic) add_atrial(beat, timing, (int)lround((usual_s - rhythm->rr_s[1]) / BEAT_TICK_S));
        if (!premature) add_conducted_atrium(rhythm, p, interval.atrial_s, beat, timing);
    }
    const double beat_s = beat->ticks * BEAT_TICK_S;
    remember(rhythm, timing, beat_s);
    rhythm->rr_s[0] = rhythm->rr_s[1];
    rhythm->rr_s[1] = beat_s;
    if (!premature && !beat->ectopic)
        rhythm->rr_reference_s += REFERENCE_SHARE * (beat_s - rhythm->rr_reference_s);
    rhythm->beats++;
}
