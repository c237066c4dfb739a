/* Blood, plasma, interstitium, infusions, bleeding and the chest drain. Every flow is worked out once per
   beat and booked on both sides, so that the ledger closes to rounding. */
#include "model/fluids.h"

#include "model/lag.h"
#include "model/units.h"

#include <math.h>

/* Starling exchange in deviation form (Chapple 1993; Gyenge, Am J Physiol 1999;277:H1215; from memory), per
 * 75 kg */
static const double REFERENCE_WEIGHT_KG = 75.0;
static const double INTERSTITIAL_ML_KG = 120.0;      /* 8.4 L in 70 kg */
static const double ALBUMIN_PLASMA_G_L = 39.4;       /* 25.9 mmHg over 0.657 */
static const double ALBUMIN_INTERSTITIAL_G_L = 22.4; /* 14.7 mmHg over 0.657 */
static const double ONCOTIC_MMHG_PER_G_L = 0.657;
static const double REFLECTION = 0.9888;
static const double FILTRATION_ML_MMHG_H = 300.0; /* acute value, see MODEL.md */
static const double LYMPH_ML_MMHG_H = 43.1;
static const double ALBUMIN_LEAK_PER_H = 0.05; /* normal transcapillary escape of the pool (Crit Care 2022) */
static const double CAPILLARY_SHARE_OF_VEIN = 0.6; /* rise of capillary per rise of venous pressure */
static const double CVP_LAG_S = 60.0;
static const double CVP_START_MMHG = 5.0;
static const double SETTLE_LAG_S = 20.0; /* several breaths */
static const double INTERSTITIUM_DRY_MMHG_ML =
    0.004;                                       /* pressure per mL below normal: little water to spare */
static const double INTERSTITIUM_WET_MMHG = 1.0; /* pressure rise of a very wet interstitium */
static const double INTERSTITIUM_WET_PER_ML = 0.0005; /* 2 L/mmHg just above normal */
/* Donor plasma (fresh frozen): protein as in the donor */
static const double DONOR_ALBUMIN_G_L = 40.0;
static const double STRONG_ALBUMIN_G_L = 200.0;
/* Bleeding fades as arterial pressure and blood run out (design) */
static const double BLEED_STOP_MMHG = 10.0;
static const double BLEED_FULL_MMHG = 65.0;
static const double BLEED_ROOM_X =
    1.25; /* around the heart: slower once the pressure there passes a fifth of the aortic */
static const double BLEED_STOP_ML_KG = 15.0;
static const double BLEED_FULL_ML_KG = 40.0;
static const double OOZE_FADES_S = 6.7 * 3600; /* 54 % of 12 h within 4 h: PMID 32896545 */
static const double OUTFLOW_MAX_FRAC =
    0.05; /* of the plasma or blood there is, per beat: a guard, not physiology */
/* Drain (design): free fluid leaves in minutes through an open drain, a film stays */
static const double DRAIN_LAG_S = 300.0;
static const double DRAIN_FILM_ML = 10.0;
static const double DRAIN_SHOWN_LAG_S = 300.0;
/* Viscosity of blood against haematocrit 0.42 */
static const double VISCOSITY_BASE = 0.6;
static const double VISCOSITY_PART = 0.4;
static const double VISCOSITY_SLOPE = 2.4;
static const double VISCOSITY_HCT = 0.42;
/* Kidney: share of an expansion felt as volume, the rest as fallen oncotic pressure (design) */
static const double VOLUME_FELT = 0.6;
static const double LITRE_ML = 1000.0;

double model_fluids_hct(const FluidsState *fluids) {
    return fluids->red_cells_ml / (fluids->red_cells_ml + fluids->plasma_ml);
}

double model_fluids_viscosity_x(double hct_frac) {
    return VISCOSITY_BASE + VISCOSITY_PART * exp(VISCOSITY_SLOPE * (hct_frac - VISCOSITY_HCT));
}

double model_fluids_expansion_x(const FluidsState *fluids) {
    const double volume_x = fluids->plasma_ml / fluids->plasma_rest_ml;
    const double dilution_x = volume_x * fluids->plasma_albumin_rest_g / fluids->plasma_albumin_g;
    return VOLUME_FELT * volume_x + (1.0 - VOLUME_FELT) * dilution_x;
}

void model_fluids_start(FluidsState *fluids, const Parameters *parameters) {
    const FluidsState empty = {0};
    *fluids = empty;
    fluids->red_cells_ml = parameters->blood_volume_ml * parameters->hct_start_frac;
    fluids->plasma_ml = parameters->blood_volume_ml - fluids->red_cells_ml;
    fluids->interstitial_ml = INTERSTITIAL_ML_KG * parameters->weight_kg;
    fluids->plasma_albumin_g = ALBUMIN_PLASMA_G_L * fluids->plasma_ml / LITRE_ML;
    fluids->interstitial_albumin_g = ALBUMIN_INTERSTITIAL_G_L * fluids->interstitial_ml / LITRE_ML;
    fluids->ooze_frac = 1.0;
    fluids->cvp_mmhg = CVP_START_MMHG;
    fluids->cvp_rest_mmhg = CVP_START_MMHG;
    fluids->plasma_rest_ml = fluids->plasma_ml;
    fluids->interstitial_rest_ml = fluids->interstitial_ml;
    fluids->plasma_albumin_rest_g = fluids->plasma_albumin_g;
    fluids->interstitial_albumin_rest_g = fluids->interstitial_albumin_g;
}

void model_fluids_settle(FluidsState *fluids, double cvp_mmhg, double dt_s) {
    (void)model_lag_step(&fluids->cvp_mmhg, cvp_mmhg, dt_s, SETTLE_LAG_S);
    fluids->cvp_rest_mmhg = fluids->cvp_mmhg;
}

/* Concentration in g/L. */
static double per_litre(double albumin_g, double volume_ml) {
    return LITRE_ML * albumin_g / volume_ml;
}

/* Interstitial pressure above its normal value, mmHg. */
static double interstitial_rise_mmhg(double extra_ml) {
    if (extra_ml < 0.0) {
        return INTERSTITIUM_DRY_MMHG_ML * extra_ml;
    }
    return -INTERSTITIUM_WET_MMHG * expm1(-INTERSTITIUM_WET_PER_ML * extra_ml);
}

/* Water and albumin between plasma and interstitium over dt_s. */
static void exchange(FluidsState *fluids, const Parameters *parameters, double dt_s) {
    const double hours = parameters->capillary_exchange_x * dt_s / UNITS_S_PER_H;
    const double size = parameters->weight_kg / REFERENCE_WEIGHT_KG;
    const double plasma_g_l = per_litre(fluids->plasma_albumin_g, fluids->plasma_ml);
    const double tissue_g_l = per_litre(fluids->interstitial_albumin_g, fluids->interstitial_ml);
    const double plasma_rest_g_l = per_litre(fluids->plasma_albumin_rest_g, fluids->plasma_rest_ml);
    const double tissue_rest_g_l =
        per_litre(fluids->interstitial_albumin_rest_g, fluids->interstitial_rest_ml);
    const double oncotic_mmhg =
        ONCOTIC_MMHG_PER_G_L * ((plasma_g_l - plasma_rest_g_l) - (tissue_g_l - tissue_rest_g_l));
    const double capillary_mmhg = CAPILLARY_SHARE_OF_VEIN * (fluids->cvp_mmhg - fluids->cvp_rest_mmhg);
    const double tissue_mmhg =
        interstitial_rise_mmhg((fluids->interstitial_ml - fluids->interstitial_rest_ml) / size);

    /* at rest lymph returns what filters, and the albumin that escapes */
    const double rest_ml_h = LITRE_ML * ALBUMIN_LEAK_PER_H * fluids->plasma_albumin_rest_g / tissue_rest_g_l;
    const double filtered_ml_h =
        rest_ml_h + size * FILTRATION_ML_MMHG_H * (capillary_mmhg - tissue_mmhg - REFLECTION * oncotic_mmhg);
    const double lymph_ml_h = fmax(0.0, rest_ml_h + size * LYMPH_ML_MMHG_H * tissue_mmhg);
    const double leak_g_h = ALBUMIN_LEAK_PER_H * fluids->plasma_albumin_rest_g * (plasma_g_l - tissue_g_l) /
                            (plasma_rest_g_l - tissue_rest_g_l);
    const double return_g_h = lymph_ml_h * tissue_g_l / LITRE_ML;

    const double most_ml = OUTFLOW_MAX_FRAC * fluids->plasma_ml;
    const double water_ml = fmin(most_ml, (filtered_ml_h - lymph_ml_h) * hours);
    const double albumin_g = (leak_g_h - return_g_h) * hours;
    fluids->plasma_ml -= water_ml;
    fluids->interstitial_ml += water_ml;
    fluids->plasma_albumin_g -= albumin_g;
    fluids->interstitial_albumin_g += albumin_g;
}

/* Everything that runs in through a line. */
static void infuse(FluidsState *fluids, const Parameters *parameters, double dt_s) {
    const double minutes = dt_s / UNITS_S_PER_MIN;
    const double crystalloid_ml =
        parameters->crystalloid_ml_min * minutes + parameters->maintenance_ml_h * dt_s / UNITS_S_PER_H;
    const double colloid_ml = parameters->colloid_ml_min * minutes;
    const double donor_ml = (parameters->plasma_ml_min + parameters->platelets_ml_min) * minutes;
    const double strong_ml = parameters->albumin_20_ml_min * minutes;
    const double packed_ml = parameters->red_cells_ml_min * minutes;
    const double washed_ml = parameters->cell_salvage_ml_min * minutes;
    const double cells_ml =
        packed_ml * parameters->red_cells_hct_frac + washed_ml * parameters->cell_salvage_hct_frac;
    const double given_ml = crystalloid_ml + colloid_ml + donor_ml + strong_ml + packed_ml + washed_ml;
    fluids->plasma_ml += given_ml - cells_ml;
    fluids->red_cells_ml += cells_ml;
    fluids->plasma_albumin_g += (colloid_ml * parameters->colloid_albumin_g_l +
                                 strong_ml * STRONG_ALBUMIN_G_L + donor_ml * DONOR_ALBUMIN_G_L) /
                                LITRE_ML;
    fluids->given_ml += given_ml;
    fluids->given_red_cells_ml += cells_ml;
}

/* Urine and evaporation: water only. */
static void lose_water(FluidsState *fluids, const Parameters *parameters, double urine_ml, double dt_s) {
    const double most_ml = 0.5 * OUTFLOW_MAX_FRAC * fluids->plasma_ml;
    const double passed_ml = fmin(urine_ml, most_ml);
    const double vapour_ml = fmin(parameters->insensible_ml_h * dt_s / UNITS_S_PER_H, most_ml);
    fluids->plasma_ml -= passed_ml + vapour_ml;
    fluids->urine_ml += passed_ml;
    fluids->insensible_ml += vapour_ml;
}

/* Whole blood out of the circulation, shared among the places it goes to. */
static void bleed(FluidsState *fluids, const Parameters *parameters, double aorta_mmhg, double dt_s,
                  FluidsChange *change) {
    const double blood_ml = fluids->plasma_ml + fluids->red_cells_ml;
    const double fade =
        model_lag_smoothstep(aorta_mmhg, BLEED_STOP_MMHG, BLEED_FULL_MMHG) *
        model_lag_smoothstep(blood_ml / parameters->weight_kg, BLEED_STOP_ML_KG, BLEED_FULL_ML_KG);
    /* what stays around the heart has to bleed against the pressure it makes there */
    const double against_frac = fluids->enclosed_mmhg / fmax(aorta_mmhg, BLEED_STOP_MMHG);
    const double closed_x = fmin(fmax(BLEED_ROOM_X * (1.0 - against_frac), 0.0), 1.0);
    const double chest_ml_h = parameters->bleed_drain_ml_h + parameters->ooze_drain_ml_h * fluids->ooze_frac;
    const double drained_ml_h = chest_ml_h * parameters->drain_patency_frac;
    const double pericardium_ml_h =
        closed_x * (parameters->bleed_pericardium_ml_h + chest_ml_h - drained_ml_h);
    const double clots_ml_h = closed_x * (parameters->bleed_clot_lv_ml_h + parameters->bleed_clot_rv_ml_h +
                                          parameters->bleed_clot_la_ml_h + parameters->bleed_clot_ra_ml_h);
    const double wanted_ml_h = drained_ml_h + parameters->bleed_hidden_ml_h + pericardium_ml_h + clots_ml_h;
    if (wanted_ml_h <= 0.0) {
        return;
    }
    const double hours = dt_s / UNITS_S_PER_H;
    const double lost_ml = fmin(wanted_ml_h * fade * hours, OUTFLOW_MAX_FRAC * blood_ml);
    const double share_h = lost_ml / wanted_ml_h; /* mL out per mL/h asked for */
    const double drained_ml = share_h * drained_ml_h;
    change->pericardium_ml = share_h * pericardium_ml_h;
    change->clot_lv_ml = share_h * closed_x * parameters->bleed_clot_lv_ml_h;
    change->clot_rv_ml = share_h * closed_x * parameters->bleed_clot_rv_ml_h;
    change->clot_la_ml = share_h * closed_x * parameters->bleed_clot_la_ml_h;
    change->clot_ra_ml = share_h * closed_x * parameters->bleed_clot_ra_ml_h;
    fluids->hidden_ml += share_h * parameters->bleed_hidden_ml_h;
    fluids->bottle_ml += drained_ml;
    fluids->pericardium_ml += change->pericardium_ml;
    fluids->clot_lv_ml += change->clot_lv_ml;
    fluids->clot_rv_ml += change->clot_rv_ml;
    fluids->clot_la_ml += change->clot_la_ml;
    fluids->clot_ra_ml += change->clot_ra_ml;

    const double cells_ml = lost_ml * fluids->red_cells_ml / blood_ml;
    fluids->plasma_albumin_g -= fluids->plasma_albumin_g * (lost_ml - cells_ml) / fluids->plasma_ml;
    fluids->red_cells_ml -= cells_ml;
    fluids->plasma_ml -= lost_ml - cells_ml;
    fluids->lost_red_cells_ml += cells_ml;
}

/* Free fluid around the heart runs off through an open drain. */
static void drain(FluidsState *fluids, const Parameters *parameters, double dt_s, FluidsChange *change) {
    const double there_ml = parameters->pericardial_free_ml + fluids->pericardium_ml;
    const double above_ml = fmax(0.0, there_ml - DRAIN_FILM_ML);
    const double out_ml = -above_ml * expm1(-parameters->drain_patency_frac * dt_s / DRAIN_LAG_S);
    fluids->pericardium_ml -= out_ml;
    fluids->bottle_ml += out_ml;
    change->pericardium_ml -= out_ml;
}

/* Through the open chest the surgeon takes out what has collected. */
static void evacuate(FluidsState *fluids, const Parameters *parameters, FluidsChange *change) {
    if (parameters->chest_open < 0.5) {
        return;
    }
    const double free_ml = fmax(0.0, fluids->pericardium_ml);
    change->pericardium_ml -= free_ml;
    change->clot_lv_ml -= fluids->clot_lv_ml;
    change->clot_rv_ml -= fluids->clot_rv_ml;
    change->clot_la_ml -= fluids->clot_la_ml;
    change->clot_ra_ml -= fluids->clot_ra_ml;
    fluids->evacuated_ml +=
        free_ml + fluids->clot_lv_ml + fluids->clot_rv_ml + fluids->clot_la_ml + fluids->clot_ra_ml;
    fluids->pericardium_ml -= free_ml;
    fluids->clot_lv_ml = fluids->clot_rv_ml = fluids->clot_la_ml = fluids->clot_ra_ml = 0.0;
}

FluidsChange model_fluids_advance(FluidsState *fluids, const Parameters *parameters, double aorta_mmhg,
                                  double cvp_mmhg, double urine_ml, double dt_s) {
    FluidsChange change = {0};
    const double before_ml = fluids->plasma_ml + fluids->red_cells_ml;
    const double bottle_before_ml = fluids->bottle_ml;
    (void)model_lag_step(&fluids->cvp_mmhg, cvp_mmhg, dt_s, CVP_LAG_S);
    infuse(fluids, parameters, dt_s);
    exchange(fluids, parameters, dt_s);
    lose_water(fluids, parameters, urine_ml, dt_s);
    bleed(fluids, parameters, aorta_mmhg, dt_s, &change);
    (void)model_lag_step(&fluids->ooze_frac, 0.0, dt_s, OOZE_FADES_S);
    drain(fluids, parameters, dt_s, &change);
    evacuate(fluids, parameters, &change);
    if (dt_s > 0.0) {
        (void)model_lag_step(&fluids->drain_ml_s, (fluids->bottle_ml - bottle_before_ml) / dt_s, dt_s,
                             DRAIN_SHOWN_LAG_S);
    }
    change.blood_ml = fluids->plasma_ml + fluids->red_cells_ml - before_ml;
    return change;
}
