/* Chambers with time-varying elastance, septum, pericardium and clots. */
#include "model/heart.h"

#include "model/smooth.h"
#include "model/variables.h"

#include <math.h>
#include <stdbool.h>

#define VOLUME_WIDTH_ML    3.0  /* softness of "above the dead volume" */
#define OUTFLOW_WIDTH_ML_S 20.0 /* softness of "ejecting" */
#define ATRIAL_WIDTH_MMHG  0.7  /* softness of "active above passive" in an atrium */
#define EMPTY_ROOM_ML      8.0  /* a chamber with no more than this is as good as empty */
#define EMPTY_WIDTH_ML     1.0
#define LOSS_LEAST         0.1 /* share of active pressure that no ejection flow takes away */

HeartConstants model_heart_constants(const Parameters *p, const Effects *effects, double ees_x,
                                     double free_ml, const double *clot_ml) {
    const double strength = ees_x * effects->reflex_ees_x;
    HeartConstants heart = {
        .lv = {p->lv_ees_mmhg_ml * effects->lv_ees_x * strength, p->lv_vd_ml, p->lv_alpha_mmhg,
               p->lv_beta_per_ml, p->lv_v0_ml},
        .rv = {p->rv_ees_mmhg_ml * effects->rv_ees_x * strength, p->rv_vd_ml, p->rv_alpha_mmhg,
               p->rv_beta_per_ml, p->rv_v0_ml},
        .la = {p->la_ees_mmhg_ml * effects->atrial_ees_x, p->la_vd_ml, p->la_alpha_mmhg, p->la_beta_per_ml,
               p->la_v0_ml, p->la_base_descent_frac, p->la_base_reference_ml},
        .ra = {p->ra_ees_mmhg_ml * effects->atrial_ees_x, p->ra_vd_ml, p->ra_alpha_mmhg, p->ra_beta_per_ml,
               p->ra_v0_ml, p->ra_base_descent_frac, p->ra_base_reference_ml},
        .flow_loss = p->ventricle_flow_loss_s_ml,
        .passive_floor = p->passive_floor_mmhg,
        .collapse_mmhg = p->collapse_mmhg,
        .ventricle_collapse_ml = p->ventricle_collapse_ml,
        .ventricle_collapse_per_ml = p->ventricle_collapse_per_ml,
        .atrium_collapse_ml = p->atrium_collapse_ml,
        .atrium_collapse_per_ml = p->atrium_collapse_per_ml,
        .septum_ees = p->septum_ees_mmhg_ml,
        .septum_p0 = p->septum_p0_mmhg,
        .septum_width = p->septum_width_ml,
        .septum_r = p->septum_r_mmhg_s_ml,
        .pericardium_a = p->pericardium_a_mmhg * (1.0 - p->chest_open),
        .pericardium_lambda = p->pericardium_lambda_per_ml,
        .pericardium_v0 = p->pericardium_v0_ml,
        .pericardium_rest = exp(-p->pericardium_lambda_per_ml * p->pericardium_v0_ml),
        .clot_ml = {clot_ml[CHAMBER_LV], clot_ml[CHAMBER_RV], clot_ml[CHAMBER_LA], clot_ml[CHAMBER_RA]},
        .clot_room_ml = {p->clot_room_lv_ml, p->clot_room_rv_ml, p->clot_room_la_ml, p->clot_room_ra_ml},
        .clot_elastance = p->clot_elastance_mmhg_ml * (1.0 - p->chest_open),
        .clot_width = p->clot_width_ml,
    };
    heart.collection_ml = free_ml;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        heart.collection_ml += heart.clot_ml[i];
    return heart;
}

/* Recoil of a chamber emptied below its collapse volume: -g exp(d (Vc - V)); returns pressure and slope. */
static double recoil(double scale_mmhg, double per_ml, double collapse_ml, double volume_ml, double *slope) {
    double steep;
    const double value = -scale_mmhg * smooth_exp(per_ml * (collapse_ml - volume_ml), &steep);
    *slope = scale_mmhg * per_ml * steep;
    return value;
}

/* Free wall: e_a Ees sp(V - Vd) (1 - kQ sp(Q)) + (1 - e) fl(alpha (exp(beta (V - V0)) - 1)); sets its slopes.
   Below its equilibrium volume a wall pulls outward, by the floor at most. */
static double free_wall(const VentricleConstants *wall, const HeartConstants *heart, const HeartDrive *drive,
                        double volume_ml, double out_ml_s, double *by_volume, double *by_out) {
    double dstretch, dflow, dpassive, dfloor;
    const double stretch = smooth_positive(volume_ml - wall->vd, VOLUME_WIDTH_ML, &dstretch);
    double loss = 1.0 - heart->flow_loss * smooth_positive(out_ml_s, OUTFLOW_WIDTH_ML_S, &dflow);
    if (loss < LOSS_LEAST) {
        loss = LOSS_LEAST;
        dflow = 0.0;
    }
    const double exponential = smooth_exp(wall->beta * (volume_ml - wall->v0), &dpassive) - 1.0;
    const double passive = smooth_floor(wall->alpha * exponential, heart->passive_floor, &dfloor);
    const double active = drive->ventricle_a * wall->ees;
    const double rest = 1.0 - drive->ventricle_e;
    *by_volume = active * dstretch * loss + rest * wall->alpha * wall->beta * dpassive * dfloor;
    *by_out = -active * stretch * heart->flow_loss * dflow;
    return active * stretch * loss + rest * passive;
}

/* Atrium: passive, plus what the active law exceeds it by; the base moves with the ventricle. */
static double atrial_wall(const AtriumConstants *wall, double active_level, double volume_ml,
                          double ventricle_ml, double *by_volume) {
    double dpassive, dstretch, dmore = 0.0;
    const double volume = volume_ml - wall->descent * (wall->reference_ml - ventricle_ml);
    const double passive = wall->alpha * (smooth_exp(wall->beta * (volume - wall->v0), &dpassive) - 1.0);
    dpassive *= wall->alpha * wall->beta;
    double more = 0.0;
    dstretch = 0.0;
    if (active_level > 0) {
        const double stretch = smooth_positive(volume - wall->vd, VOLUME_WIDTH_ML, &dstretch);
        more = smooth_positive(wall->ees * stretch - passive, ATRIAL_WIDTH_MMHG, &dmore);
    }
    *by_volume = dpassive + active_level * dmore * (wall->ees * dstretch - dpassive);
    return passive + active_level * more;
}

/* Septal pressure law: active linear, passive sinh, both odd in the septal volume. */
static double septal_law(const HeartConstants *heart, const HeartDrive *drive, double septum_ml,
                         double *slope) {
    double dplus, dminus;
    const double z = septum_ml / heart->septum_width;
    const double plus = smooth_exp(z, &dplus);
    const double minus = smooth_exp(-z, &dminus);
    const double passive = (1.0 - drive->ventricle_e) * heart->septum_p0;
    const double active = drive->ventricle_a * heart->septum_ees;
    *slope = active + passive * 0.5 * (dplus + dminus) / heart->septum_width;
    return active * septum_ml + passive * 0.5 * (plus - minus);
}

double model_heart_clot_mmhg(const HeartConstants *heart, ChamberId chamber, double volume_ml,
                             double *slope) {
    if (slope) *slope = 0.0;
    if (heart->clot_ml[chamber] <= 0) return 0.0;
    /* what the clot adds to a chamber in a limited space; nothing when it is gone */
    double with;
    double without;
    const double over_ml = volume_ml - heart->clot_room_ml[chamber];
    const double more_mmhg = heart->clot_elastance *
                             (smooth_positive(over_ml + heart->clot_ml[chamber], heart->clot_width, &with) -
                              smooth_positive(over_ml, heart->clot_width, &without));
    if (slope) *slope = heart->clot_elastance * (with - without);
    return more_mmhg;
}

void model_heart_pressures(const HeartConstants *heart, const HeartDrive *drive, const double *volume_ml,
                           double septum_ml, HeartPressures *pressures, HeartSlopes *slopes) {
    const double lv_ml = volume_ml[CHAMBER_LV];
    const double rv_ml = volume_ml[CHAMBER_RV];
    double dlv, dlv_out, drv, drv_out, dla, dra, steep, dlaw;
    double *p = pressures->chamber_mmhg;
    p[CHAMBER_LV] =
        free_wall(&heart->lv, heart, drive, lv_ml - septum_ml, drive->lv_out_ml_s, &dlv, &dlv_out);
    p[CHAMBER_RV] =
        free_wall(&heart->rv, heart, drive, rv_ml + septum_ml, drive->rv_out_ml_s, &drv, &drv_out);
    p[CHAMBER_LA] = atrial_wall(&heart->la, drive->atrium_a, volume_ml[CHAMBER_LA], lv_ml, &dla);
    p[CHAMBER_RA] = atrial_wall(&heart->ra, drive->atrium_a, volume_ml[CHAMBER_RA], rv_ml, &dra);

    double heart_ml = heart->collection_ml;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        heart_ml += volume_ml[i];
    const double stretch = smooth_exp(heart->pericardium_lambda * (heart_ml - heart->pericardium_v0), &steep);
    pressures->pericardium_mmhg =
        drive->mediastinum_mmhg + heart->pericardium_a * (stretch - heart->pericardium_rest);

    double own[CHAMBER_COUNT] = {dlv, drv, dla, dra};
    for (int i = 0; i < CHAMBER_COUNT; i++) {
        const bool ventricle = i == CHAMBER_LV || i == CHAMBER_RV;
        double slope;
        p[i] += pressures->pericardium_mmhg;
        p[i] += recoil(heart->collapse_mmhg,
                       ventricle ? heart->ventricle_collapse_per_ml : heart->atrium_collapse_per_ml,
                       ventricle ? heart->ventricle_collapse_ml : heart->atrium_collapse_ml, volume_ml[i],
                       &slope);
        own[i] += slope;
        p[i] += smooth_empty(volume_ml[i], EMPTY_ROOM_ML, EMPTY_WIDTH_ML, &slope);
        own[i] += slope;
        p[i] += model_heart_clot_mmhg(heart, (ChamberId)i, volume_ml[i], &slope);
        own[i] += slope;
    }
    pressures->septum_rate_ml_s =
        (p[CHAMBER_LV] - p[CHAMBER_RV] - septal_law(heart, drive, septum_ml, &dlaw)) / heart->septum_r;
    if (!slopes) return;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        slopes->own[i] = own[i];
    slopes->lv_septum = -dlv;
    slopes->rv_septum = drv;
    slopes->lv_out = dlv_out;
    slopes->rv_out = drv_out;
    slopes->la_lv = heart->la.descent * dla;
    slopes->ra_rv = heart->ra.descent * dra;
    slopes->pericardium = heart->pericardium_a * heart->pericardium_lambda * steep;
    slopes->septum_law = dlaw;
}
