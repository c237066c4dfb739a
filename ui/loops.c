/* Pressure-volume loops: taking them from a beat, relations of the walls, axes. */
#include "ui/loops.h"

#include <math.h>

#define NARROW_SHARE   0.55 /* an axis is shortened when less than this of it is used */
#define ROOM_SHARE     1.12 /* of what is drawn, so that nothing touches the frame */
#define STEP_ML        50.0
#define STEP_MMHG      20.0
#define LOW_STEP_MMHG  10.0
#define PAST_SHARE     1.15 /* the end-diastolic relation goes this far beyond the end-diastolic volume */
#define DEAD_MARGIN_ML 8.0  /* volumes this close above the dead volume tell nothing of elastance */

static double volume_of(const Sample *s, ChamberId chamber) {
    return chamber == CHAMBER_LV ? s->lv_ml : s->rv_ml;
}

static double pressure_of(const Sample *s, ChamberId chamber) {
    return chamber == CHAMBER_LV ? s->lv_mmhg : s->rv_mmhg;
}

/* Volume of the free wall: the septum belongs to both ventricles. */
static double wall_ml(const Sample *s, ChamberId chamber) {
    return chamber == CHAMBER_LV ? s->lv_ml - s->septum_ml : s->rv_ml + s->septum_ml;
}

/* The heart's constants with the elastances in force in the beat. */
static HeartConstants constants_of(const Beat *beat, const Parameters *p, const LoopSurroundings *around) {
    Effects effects = model_effects_none();
    effects.lv_ees_x = beat->observables.lv_ees_mmhg_ml / p->lv_ees_mmhg_ml;
    effects.rv_ees_x = beat->observables.rv_ees_mmhg_ml / p->rv_ees_mmhg_ml;
    double free_ml = beat->observables.pericardial_ml;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        free_ml -= around->clot_ml[i];
    return model_heart_constants(p, &effects, 1.0, fmax(free_ml, 0.0), around->clot_ml);
}

/* One wall's relation: relaxed (active 0) or fully active (1), from volume `from` to `to`, all else as in
   `sample`. The pressure around the heart is brought to that of the sample, and then moves with the volume.
 */
static void relate(Relation *relation, const HeartConstants *heart, const Sample *sample, ChamberId chamber,
                   double active, double from_ml, double to_ml) {
    double volume_ml[CHAMBER_COUNT] = {sample->lv_ml, sample->rv_ml, sample->la_ml, sample->ra_ml};
    HeartDrive drive = {.ventricle_e = active, .ventricle_a = active};
    HeartPressures pressures;
    model_heart_pressures(heart, &drive, volume_ml, sample->septum_ml, &pressures, NULL);
    drive.mediastinum_mmhg = sample->pericardium_mmhg - pressures.pericardium_mmhg;
    relation->points = 0;
    if (!(to_ml > from_ml)) return;
    for (int i = 0; i < RELATION_POINTS; i++) {
        volume_ml[chamber] = from_ml + (to_ml - from_ml) * i / (RELATION_POINTS - 1);
        model_heart_pressures(heart, &drive, volume_ml, sample->septum_ml, &pressures, NULL);
        relation->ml[i] = (float)volume_ml[chamber];
        relation->mmhg[i] = (float)pressures.chamber_mmhg[chamber];
    }
    relation->points = RELATION_POINTS;
}

/* Points of end systole and end diastole. A beat ends where the next activation begins: that is end diastole.
   In a pause there is no end systole, and end diastole is where it is fullest. */
static void find_points(LoopPanel *panel, const Beat *beat, double dead_ml) {
    double steepest = -INFINITY, fullest = -INFINITY;
    panel->systole = -1;
    panel->diastole = beat->ticks - 1;
    for (int i = 0; i < beat->ticks; i++) {
        const Sample *s = &beat->samples[i];
        if (!beat->ventricular) {
            if (volume_of(s, panel->chamber) <= fullest) continue;
            fullest = volume_of(s, panel->chamber);
            panel->diastole = i;
            continue;
        }
        double above = wall_ml(s, panel->chamber) - dead_ml;
        double slope = (pressure_of(s, panel->chamber) - s->pericardium_mmhg) / fmax(above, DEAD_MARGIN_ML);
        if (slope <= steepest) continue;
        steepest = slope;
        panel->systole = i;
    }
}

void ui_loops_take(LoopPanel *panel, const Beat *beat, const Parameters *p, const LoopSurroundings *around) {
    ChamberId chamber = panel->chamber;
    panel->now.points = beat->ticks;
    panel->end_systolic.points = panel->end_diastolic.points = 0;
    panel->systole = panel->diastole = -1;
    if (beat->ticks == 0) return;
    for (int i = 0; i < beat->ticks; i++) {
        panel->now.ml[i] = (float)volume_of(&beat->samples[i], chamber);
        panel->now.mmhg[i] = (float)pressure_of(&beat->samples[i], chamber);
    }
    HeartConstants heart = constants_of(beat, p, around);
    const VentricleConstants *wall = chamber == CHAMBER_LV ? &heart.lv : &heart.rv;
    find_points(panel, beat, wall->vd);
    const Sample *full = &beat->samples[panel->diastole];
    double septum = chamber == CHAMBER_LV ? 1.0 : -1.0; /* sign of the septal volume in the cavity */
    double least_ml = fmax(0.25 * volume_of(full, chamber), heart.ventricle_collapse_ml);
    relate(&panel->end_diastolic, &heart, full, chamber, 0.0, least_ml,
           PAST_SHARE * volume_of(full, chamber));
    if (panel->systole < 0) return;
    const Sample *empty = &beat->samples[panel->systole];
    relate(&panel->end_systolic, &heart, empty, chamber, 1.0,
           fmax(wall->vd + septum * empty->septum_ml, heart.ventricle_collapse_ml),
           volume_of(empty, chamber) + 0.35 * (volume_of(full, chamber) - volume_of(empty, chamber)) + 15.0);
}

static void widest(const Loop *loop, double *ml, double *mmhg, double *low_mmhg) {
    for (int i = 0; i < loop->points; i++) {
        *ml = fmax(*ml, loop->ml[i]);
        *mmhg = fmax(*mmhg, loop->mmhg[i]);
        *low_mmhg = fmin(*low_mmhg, loop->mmhg[i]);
    }
}

/* An axis that ends at a multiple of `step` above `most`. */
static double axis(double now, double most, double step) {
    double wanted = fmax(step * ceil(most * ROOM_SHARE / step), step);
    return wanted > now || most < NARROW_SHARE * now ? wanted : now;
}

void ui_loops_axes(LoopPanel *panel) {
    double ml = 0.0, mmhg = 0.0, low_mmhg = 0.0;
    widest(&panel->now, &ml, &mmhg, &low_mmhg);
    widest(&panel->kept, &ml, &mmhg, &low_mmhg);
    panel->high_ml = axis(panel->high_ml, ml, STEP_ML);
    panel->high_mmhg = axis(panel->high_mmhg, mmhg, STEP_MMHG);
    double low = -LOW_STEP_MMHG * ceil(-low_mmhg / LOW_STEP_MMHG - 0.05);
    if (low < panel->low_mmhg || low > panel->low_mmhg + LOW_STEP_MMHG) panel->low_mmhg = fmin(low, 0.0);
}

double ui_loops_work(const Loop *loop) {
    double area = 0.0;
    for (int i = 0; i < loop->points; i++) {
        int next = (i + 1) % loop->points;
        area -= 0.5 * ((double)loop->mmhg[i] + (double)loop->mmhg[next]) *
                ((double)loop->ml[next] - (double)loop->ml[i]);
    }
    return area;
}
