/* Systemic and pulmonary vessels: compliances with a soft floor, beds, waterfalls, inlets of the atria. */
#ifndef MODEL_VESSELS_H
#define MODEL_VESSELS_H

#include "model/effects.h"
#include "model/lung.h"
#include "model/parameters.h"
#include "model/variables.h"

typedef enum VesselId {
    VESSEL_AORTA,
    VESSEL_ARTERY,
    VESSEL_SPLANCHNIC,
    VESSEL_OTHER,
    VESSEL_CAVA,
    VESSEL_PA,
    VESSEL_LUNG_ARTERY,
    VESSEL_PULMONARY_VEIN,
    VESSEL_COUNT
} VesselId;

/* Flows that follow from pressures at once (those with inertance are variables). */
typedef enum BedFlowId {
    BED_SPLANCHNIC,       /* arteries to splanchnic veins */
    BED_OTHER,            /* arteries to other veins */
    BED_SPLANCHNIC_DRAIN, /* splanchnic veins to vena cava */
    BED_OTHER_DRAIN,      /* other veins to vena cava */
    BED_LUNG,             /* small pulmonary arteries to pulmonary veins */
    BED_PULMONARY_VEIN,   /* pulmonary veins to left atrium */
    BED_COUNT
} BedFlowId;

typedef struct VesselConstants {
    double elastance[VESSEL_COUNT], unstressed_ml[VESSEL_COUNT], floor_mmhg[VESSEL_COUNT];
    double aorta_r, aorta_l, pa_r, pa_l, cava_r, cava_l;
    double splanchnic_r, other_r, splanchnic_drain_r, other_drain_r, lung_r, vein_r;
    double conduit_ml, vein_waterfall, vein_backflow, lung_waterfall, lung_backflow;
} VesselConstants;

typedef struct VesselFlows {
    double pressure[VESSEL_COUNT]; /* mmHg */
    double bed[BED_COUNT];         /* mL/s */
    double cava_r;                 /* resistance to the right atrium now, mmHg s/mL */
    double cava_r_rest;            /* of it, what the uncollapsed inlet has */
} VesselFlows;

/* Partial derivatives: every bed flow depends on an upstream and a downstream pressure and on the lung. */
typedef struct VesselSlopes {
    double pressure[VESSEL_COUNT]; /* mmHg/mL */
    double bed_up[BED_COUNT];      /* by the pressure upstream */
    double bed_down[BED_COUNT];    /* by the pressure downstream */
    double bed_out[BED_COUNT];     /* by the outside pressure of a waterfall */
    double lung_resistance_x;      /* of the lung flow by resistance_x */
    double vein_atrium;            /* of the flow into the left atrium by its volume (narrow inlet) */
    double cava_r_atrium;          /* of cava_r by right atrial volume */
} VesselSlopes;

VesselConstants model_vessels_constants(const Parameters *parameters, const Effects *effects);

/* Pressures and the resistance to the right atrium only; the bed flows are left alone. `slopes` may be NULL.
 */
void model_vessels_pressures(const VesselConstants *vessels, const LungPressures *lung, const double *y,
                             VesselFlows *flows, VesselSlopes *slopes);

/* Pressures and flows; y[VARIABLE_COUNT]; `la_mmhg` is left atrial pressure; `slopes` may be NULL. */
void model_vessels_flows(const VesselConstants *vessels, const LungPressures *lung, const double *y,
                         double la_mmhg, VesselFlows *flows, VesselSlopes *slopes);

#endif
