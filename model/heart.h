/* The four chambers, the septum between the ventricles, the pericardium around all, clots beside one. */
#ifndef MODEL_HEART_H
#define MODEL_HEART_H

#include "model/effects.h"
#include "model/parameters.h"

typedef struct VentricleConstants {
    double ees, vd, alpha, beta, v0; /* mmHg/mL, mL, mmHg, 1/mL, mL */
} VentricleConstants;

typedef struct AtriumConstants {
    double ees, vd, alpha, beta, v0;
    double descent, reference_ml; /* movement of the base */
} AtriumConstants;

typedef enum ChamberId { CHAMBER_LV, CHAMBER_RV, CHAMBER_LA, CHAMBER_RA, CHAMBER_COUNT } ChamberId;

typedef struct HeartConstants {
    VentricleConstants lv, rv;
    AtriumConstants la, ra;
    double flow_loss; /* s/mL */
    double passive_floor;
    double collapse_mmhg;
    double ventricle_collapse_ml, ventricle_collapse_per_ml;
    double atrium_collapse_ml, atrium_collapse_per_ml;
    double septum_ees, septum_p0, septum_width, septum_r;
    double pericardium_a, pericardium_lambda, pericardium_v0, pericardium_rest;
    double collection_ml; /* free fluid and clots */
    double clot_ml[CHAMBER_COUNT], clot_room_ml[CHAMBER_COUNT];
    double clot_elastance, clot_width;
} HeartConstants;

/* Inputs of one moment. Outflows include the pump's. */
typedef struct HeartDrive {
    double ventricle_e, ventricle_a, atrium_a;
    double mediastinum_mmhg;
    double lv_out_ml_s, rv_out_ml_s;
} HeartDrive;

typedef struct HeartPressures {
    double chamber_mmhg[CHAMBER_COUNT];
    double pericardium_mmhg;
    double septum_rate_ml_s;
} HeartPressures;

/* Partial derivatives; every chamber pressure also rises with the pericardium's. */
typedef struct HeartSlopes {
    double own[CHAMBER_COUNT];   /* of a chamber's pressure by its own volume, without the pericardium */
    double lv_septum, rv_septum; /* by septal volume */
    double lv_out, rv_out;       /* by outflow */
    double la_lv, ra_rv;         /* of an atrium by its ventricle's volume */
    double pericardium;          /* of pericardial pressure by any heart volume */
    double septum_law;           /* of the septal pressure law by septal volume */
} HeartSlopes;

/* Constants of one beat; `ees_x` is the rhythm's strength, `free_ml` the free fluid and
   `clot_ml`[CHAMBER_COUNT] the clots around the heart. */
HeartConstants model_heart_constants(const Parameters *parameters, const Effects *effects, double ees_x,
                                     double free_ml, const double *clot_ml);

/* Pressure a clot adds to its chamber at `volume_ml`, mmHg; `slope` (mmHg/mL) may be NULL. */
double model_heart_clot_mmhg(const HeartConstants *heart, ChamberId chamber, double volume_ml, double *slope);

/* Pressures at chamber volumes `volume_ml`[CHAMBER_COUNT] and septal volume; `slopes` may be NULL. */
void model_heart_pressures(const HeartConstants *heart, const HeartDrive *drive, const double *volume_ml,
                           double septum_ml, HeartPressures *pressures, HeartSlopes *slopes);

#endif
