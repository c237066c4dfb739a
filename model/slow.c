/* The slow organs behind one door. */
#include "model/slow.h"

#include "model/units.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* Where infusions, bleeding and exchange meet the circulation (design: by size of the venous beds). */
static const double SPLANCHNIC_SHARE = 0.50;
static const double OTHER_VEINS_SHARE = 0.35;

/* Every member of SlowState is a double; read as an array it can be walked. */
_Static_assert(sizeof(SlowState) % sizeof(double) == 0, "SlowState holds doubles only");

bool model_slow_is_sound(const SlowState *slow) {
    double values[sizeof(SlowState) / sizeof(double)];
    memcpy(values, slow, sizeof values);
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        if (!isfinite(values[i])) return false;
    }
    const FluidsState *fluids = &slow->fluids;
    const OxygenState *oxygen = &slow->oxygen;
    return fluids->plasma_ml > 0.0 && fluids->red_cells_ml > 0.0 && fluids->interstitial_ml > 0.0 &&
           fluids->plasma_rest_ml > 0.0 && fluids->interstitial_rest_ml > 0.0 &&
           fluids->plasma_albumin_rest_g > 0.0 && fluids->interstitial_albumin_rest_g > 0.0 &&
           oxygen->lactate_mmol_l > 0.0 && oxygen->paco2_mmhg > 0.0 && oxygen->pao2_mmhg > 0.0 &&
           slow->reflex.neutral_mmhg > 0.0;
}

void model_slow_start(SlowState *slow, const Parameters *parameters) {
    model_reflex_start(&slow->reflex);
    model_drugs_start(&slow->drugs, parameters);
    model_fluids_start(&slow->fluids, parameters);
    model_autonomic_start(&slow->autonomic, parameters, model_oxygen_hb(model_fluids_hct(&slow->fluids)));
    model_homeometric_start(&slow->homeometric);
    model_oxygen_start(&slow->oxygen, parameters, model_fluids_hct(&slow->fluids));
    model_kidney_start(&slow->kidney, parameters);
}

void model_slow_effects(const SlowState *slow, const Parameters *parameters, Effects *effects) {
    *effects = model_effects_none();
    model_reflex_effects(&slow->reflex, parameters, effects);
    model_autonomic_effects(&slow->autonomic, parameters, effects);
    model_homeometric_effects(&slow->homeometric, parameters, effects);
    model_drugs_effects(&slow->drugs, parameters, slow->oxygen.ph, effects);
    effects->pvr_x *= model_oxygen_pvr_x(&slow->oxygen, parameters);
    effects->viscosity_x *= model_fluids_viscosity_x(model_fluids_hct(&slow->fluids));
}

static void observe(const SlowState *slow, const Parameters *parameters, Observables *observables) {
    const double hct = model_fluids_hct(&slow->fluids);
    observables->hct_frac = hct;
    observables->hb_g_dl = model_oxygen_hb(hct);
    observables->sao2_frac = slow->oxygen.sao2_frac;
    observables->svo2_frac = slow->oxygen.svo2_frac;
    observables->vo2_ml_min = slow->oxygen.vo2_ml_min;
    observables->do2_ml_min = slow->oxygen.do2_ml_min;
    observables->paco2_mmhg = slow->oxygen.paco2_mmhg;
    observables->ph = slow->oxygen.ph;
    observables->lactate_mmol_l = slow->oxygen.lactate_mmol_l;
    observables->temperature_c = parameters->temperature_c;
    observables->urine_ml_h = slow->kidney.urine_ml_s * UNITS_S_PER_H;
    observables->kidney_stage = model_kidney_stage(&slow->kidney);
    observables->urine_total_ml = slow->fluids.urine_ml;
    observables->drain_ml_h = slow->fluids.drain_ml_s * UNITS_S_PER_H;
    observables->drain_total_ml = slow->fluids.bottle_ml;
    observables->plasma_ml = slow->fluids.plasma_ml;
    observables->interstitial_ml = slow->fluids.interstitial_ml;
}

/* Settling: time stands still for everything but the reflex; the others take the values that belong to this
 * flow. */
static void settle(SlowState *slow, const Parameters *parameters, const BeatMeans *means) {
    const DrugsElsewhere drugs = model_drugs_elsewhere(&slow->drugs, parameters, slow->oxygen.ph);
    slow->oxygen.shunt_x = drugs.shunt_x;
    model_autonomic_start(&slow->autonomic, parameters, model_oxygen_hb(model_fluids_hct(&slow->fluids)));
    model_homeometric_settle(&slow->homeometric, means->rv_systolic_mmhg, means->rv_stroke_ml, means->dt_s);
    model_fluids_settle(&slow->fluids, means->cvp_mmhg, means->dt_s);
    model_oxygen_settle(&slow->oxygen, parameters, model_fluids_hct(&slow->fluids), means->systemic_ml_s,
                        means->splanchnic_ml_s, drugs.lactate_x, means->dt_s);
    model_kidney_settle(&slow->kidney, parameters, means->aorta_mmhg, means->cvp_mmhg, means->abdomen_mmhg,
                        means->systemic_ml_s, means->dt_s);
}

static FluidsChange live(SlowState *slow, const Parameters *parameters, const BeatMeans *means) {
    const double dt_s = means->dt_s;
    model_drugs_advance(&slow->drugs, parameters, dt_s);
    const DrugsElsewhere drugs = model_drugs_elsewhere(&slow->drugs, parameters, slow->oxygen.ph);
    slow->oxygen.shunt_x = drugs.shunt_x;
    model_autonomic_advance(&slow->autonomic, parameters, model_oxygen_hb(model_fluids_hct(&slow->fluids)),
                            dt_s);
    model_homeometric_advance(&slow->homeometric, means->rv_systolic_mmhg, means->rv_stroke_ml, dt_s);
    model_oxygen_advance(&slow->oxygen, parameters, model_fluids_hct(&slow->fluids), means->systemic_ml_s,
                         means->splanchnic_ml_s, drugs.lactate_x, dt_s);
    const double urine_ml = model_kidney_advance(
        &slow->kidney, parameters, means->aorta_mmhg, means->cvp_mmhg, means->abdomen_mmhg,
        means->systemic_ml_s, model_fluids_expansion_x(&slow->fluids), drugs.urine_x, dt_s);
    slow->fluids.enclosed_mmhg = means->enclosed_mmhg;
    return model_fluids_advance(&slow->fluids, parameters, means->aorta_mmhg, means->cvp_mmhg, urine_ml,
                                dt_s);
}

void model_slow_advance(SlowState *slow, const Parameters *parameters, const BeatMeans *means, bool frozen,
                        VolumeChanges *changes, Observables *observables) {
    FluidsChange fluids = {0};
    model_reflex_advance(&slow->reflex, means->aorta_mmhg, means->artery_pulse_mmhg, means->dt_s);
    if (frozen) {
        settle(slow, parameters, means);
    } else {
        fluids = live(slow, parameters, means);
    }
    changes->splanchnic_ml = SPLANCHNIC_SHARE * fluids.blood_ml;
    changes->other_veins_ml = OTHER_VEINS_SHARE * fluids.blood_ml;
    changes->cava_ml = fluids.blood_ml - changes->splanchnic_ml - changes->other_veins_ml;
    changes->pericardium_free_ml = fluids.pericardium_ml;
    changes->clot_lv_ml = fluids.clot_lv_ml;
    changes->clot_rv_ml = fluids.clot_rv_ml;
    changes->clot_la_ml = fluids.clot_la_ml;
    changes->clot_ra_ml = fluids.clot_ra_ml;
    observe(slow, parameters, observables);
}
