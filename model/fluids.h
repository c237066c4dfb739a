/* Blood, plasma, interstitium, infusions, bleeding and the chest drain, with exact bookkeeping. */
#ifndef MODEL_FLUIDS_H
#define MODEL_FLUIDS_H

#include "model/parameters.h"

/* Flat ledger, mL and g. Circulating blood = plasma_ml + red_cells_ml. */
typedef struct FluidsState {
    double plasma_ml, red_cells_ml;
    double interstitial_ml;
    double plasma_albumin_g, interstitial_albumin_g;
    /* references of this person, taken at the start and while settling */
    double plasma_rest_ml, interstitial_rest_ml, plasma_albumin_rest_g, interstitial_albumin_rest_g;
    double cvp_rest_mmhg;
    double cvp_mmhg; /* low-passed central venous pressure */
    /* where volume went or came from since the start, whole mL of fluid */
    double given_ml, given_red_cells_ml;
    double urine_ml, insensible_ml;
    double bottle_ml, hidden_ml;
    double pericardium_ml; /* free blood bled in minus drained; negative when fluid present at the start was
                              drained */
    double clot_lv_ml, clot_rv_ml, clot_la_ml, clot_ra_ml;
    double evacuated_ml;      /* taken out through the open chest */
    double lost_red_cells_ml; /* red cells out of the circulation */
    double enclosed_mmhg; /* pressure against bleeding around the heart, set before each advance; 0 none */
    double drain_ml_s;    /* low-passed flow into the bottle */
    double ooze_frac;     /* what is left of the oozing of the first hours, 1 at the start */
} FluidsState;

/* What the circulation feels of one beat, mL. */
typedef struct FluidsChange {
    double blood_ml; /* net change of circulating blood */
    double pericardium_ml;
    double clot_lv_ml, clot_rv_ml, clot_la_ml, clot_ra_ml;
} FluidsChange;

/* Plasma and cells from blood volume and haematocrit, interstitium from weight, all in balance. */
void model_fluids_start(FluidsState *fluids, const Parameters *parameters);

/* While settling: the central venous pressure (mmHg, mean of a beat of dt_s), averaged over several breaths,
   becomes the one in balance. */
void model_fluids_settle(FluidsState *fluids, double cvp_mmhg, double dt_s);

/* Advances by dt_s (s). aorta_mmhg and cvp_mmhg are beat means; urine_ml is this beat's urine (>= 0), of
   which no more is taken than is there. Returns the change of the circulating blood. */
FluidsChange model_fluids_advance(FluidsState *fluids, const Parameters *parameters, double aorta_mmhg,
                                  double cvp_mmhg, double urine_ml, double dt_s);

/* Expansion of the plasma as the kidney feels it, 1 as at the start: partly by volume, partly by dilution of
   the albumin, so that crystalloid counts in full and concentrated albumin hardly. */
double model_fluids_expansion_x(const FluidsState *fluids);

/* Red cells over blood, 0..1. */
double model_fluids_hct(const FluidsState *fluids);

/* Factor of blood viscosity on resistances, 1 at a haematocrit of 0.42. */
double model_fluids_viscosity_x(double hct_frac);

#endif
