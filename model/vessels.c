/* Vessel pressures and bed flows. */
#include "model/vessels.h"

#include "model/smooth.h"

#include <math.h>
#include <stdbool.h>

#define SPLANCHNIC_SHARE 0.6  /* of a change of venous unstressed volume by drugs; the rest elsewhere */
#define ATRIUM_REST_ML   1.0  /* keeps the inlet law finite at an empty atrium */
#define EMPTY_ROOM_ML    12.0 /* a vessel with no more than this is as good as empty */
#define EMPTY_WIDTH_ML   2.0
#define FULL_FLOW        1.0

VesselConstants model_vessels_constants(const Parameters *p, const Effects *effects) {
    const double bed_x =
        p->systemic_resistance_x * effects->svr_x * effects->reflex_svr_x * effects->viscosity_x;
    const double lung_x = p->pulmonary_resistance_x * effects->pvr_x * effects->viscosity_x;
    return (VesselConstants){
        .elastance = {1.0 / p->aorta_c_ml_mmhg, 1.0 / p->artery_c_ml_mmhg, 1.0 / p->splanchnic_c_ml_mmhg,
                      1.0 / p->other_c_ml_mmhg, 1.0 / p->cava_c_ml_mmhg, 1.0 / p->pa_c_ml_mmhg,
                      1.0 / p->lung_artery_c_ml_mmhg, 1.0 / p->pulmonary_vein_c_ml_mmhg},
        .unstressed_ml = {p->aorta_vu_ml, p->artery_vu_ml,
                          p->splanchnic_vu_ml + effects->reflex_splanchnic_ml +
                              SPLANCHNIC_SHARE * effects->unstressed_ml,
                          p->other_vu_ml + effects->reflex_other_ml +
                              (1.0 - SPLANCHNIC_SHARE) * effects->unstressed_ml,
                          p->cava_vu_ml, p->pa_vu_ml, p->lung_artery_vu_ml, p->pulmonary_vein_vu_ml},
        .floor_mmhg = {p->thoracic_floor_mmhg, p->thoracic_floor_mmhg, p->vein_floor_mmhg, p->vein_floor_mmhg,
                       p->thoracic_floor_mmhg, p->thoracic_floor_mmhg, p->thoracic_floor_mmhg,
                       p->thoracic_floor_mmhg},
        .aorta_r = p->aorta_r_mmhg_s_ml,
        .aorta_l = p->aorta_l_mmhg_s2_ml,
        .pa_r = p->pa_r_mmhg_s_ml,
        .pa_l = p->pa_l_mmhg_s2_ml,
        .cava_r = p->cava_r_mmhg_s_ml,
        .cava_l = p->cava_l_mmhg_s2_ml,
        .splanchnic_r = p->splanchnic_r_mmhg_s_ml * bed_x,
        .other_r = p->other_r_mmhg_s_ml * bed_x,
        .splanchnic_drain_r = p->splanchnic_drain_r_mmhg_s_ml,
        .other_drain_r = p->other_drain_r_mmhg_s_ml,
        .lung_r = p->pulmonary_r_mmhg_s_ml * lung_x,
        .vein_r = p->pulmonary_vein_r_mmhg_s_ml,
        .conduit_ml = p->conduit_volume_ml,
        .vein_waterfall = p->vein_waterfall_mmhg,
        .vein_backflow = p->vein_backflow_frac,
        .lung_waterfall = p->lung_waterfall_mmhg,
        .lung_backflow = p->lung_backflow_frac,
    };
}

/* Narrowing of an atrium's inlet as the atrium empties: 1 + (Vc/(V + 1))^2; its change per mL in *slope. */
static double inlet_x(double conduit_ml, double atrium_ml, double *slope) {
    const double room = fmax(atrium_ml, 0.0) + ATRIUM_REST_ML;
    const double narrow = conduit_ml / room;
    *slope = atrium_ml > 0 ? -2.0 * narrow * narrow / room : 0.0;
    return 1.0 + narrow * narrow;
}

/* Flow through a collapsible vessel: each end counts only above the pressure outside, so an end that has
   collapsed neither sucks nor gives; back-flow is reduced. (sp(P_up - P_out) - sp(P_down - P_out)) / R */
static void waterfall(VesselFlows *flows, VesselSlopes *slopes, BedFlowId bed, double up, double down,
                      double out, double width, double r, double backflow) {
    double up_share;
    double down_share;
    const double drive =
        smooth_positive(up - out, width, &up_share) - smooth_positive(down - out, width, &down_share);
    const double g = (drive > 0 ? FULL_FLOW : backflow) / r;
    flows->bed[bed] = drive * g;
    if (slopes) {
        slopes->bed_up[bed] = g * up_share;
        slopes->bed_down[bed] = -g * down_share;
        slopes->bed_out[bed] = g * (down_share - up_share);
    }
}

/* Flow through a plain resistance. */
static void resistance(VesselFlows *flows, VesselSlopes *slopes, BedFlowId bed, double up, double down,
                       double r) {
    flows->bed[bed] = (up - down) / r;
    if (slopes) {
        slopes->bed_up[bed] = 1.0 / r;
        slopes->bed_down[bed] = -1.0 / r;
        slopes->bed_out[bed] = 0.0;
    }
}

void model_vessels_pressures(const VesselConstants *v, const LungPressures *lung, const double *y,
                             VesselFlows *flows, VesselSlopes *slopes) {
    double *p = flows->pressure;
    for (int i = 0; i < VESSEL_COUNT; i++) {
        double steep;
        double empty;
        const double stretched = v->elastance[i] * (y[VARIABLE_AORTA_ML + i] - v->unstressed_ml[i]);
        p[i] = smooth_floor(stretched, v->floor_mmhg[i], &steep) +
               smooth_empty(y[VARIABLE_AORTA_ML + i], EMPTY_ROOM_ML, EMPTY_WIDTH_ML, &empty);
        if (slopes) slopes->pressure[i] = v->elastance[i] * steep + empty;
    }
    /* outside pressures: chest, abdomen; the arterial tree and the other veins feel the atmosphere */
    p[VESSEL_AORTA] += lung->mediastinum_mmhg;
    p[VESSEL_SPLANCHNIC] += lung->abdomen_mmhg;
    for (int i = VESSEL_CAVA; i < VESSEL_COUNT; i++)
        p[i] += lung->mediastinum_mmhg;

    double narrower;
    flows->cava_r = v->cava_r * inlet_x(v->conduit_ml, y[VARIABLE_RA_ML], &narrower);
    flows->cava_r_rest = v->cava_r;
    if (slopes) slopes->cava_r_atrium = v->cava_r * narrower;
}

void model_vessels_flows(const VesselConstants *v, const LungPressures *lung, const double *y, double la_mmhg,
                         VesselFlows *flows, VesselSlopes *slopes) {
    model_vessels_pressures(v, lung, y, flows, slopes);
    const double *p = flows->pressure;
    resistance(flows, slopes, BED_SPLANCHNIC, p[VESSEL_ARTERY], p[VESSEL_SPLANCHNIC], v->splanchnic_r);
    resistance(flows, slopes, BED_OTHER, p[VESSEL_ARTERY], p[VESSEL_OTHER], v->other_r);
    waterfall(flows, slopes, BED_SPLANCHNIC_DRAIN, p[VESSEL_SPLANCHNIC], p[VESSEL_CAVA], lung->abdomen_mmhg,
              v->vein_waterfall, v->splanchnic_drain_r, v->vein_backflow);
    waterfall(flows, slopes, BED_OTHER_DRAIN, p[VESSEL_OTHER], p[VESSEL_CAVA], 0.0, v->vein_waterfall,
              v->other_drain_r, v->vein_backflow);
    const double lung_r = v->lung_r * lung->resistance_x;
    waterfall(flows, slopes, BED_LUNG, p[VESSEL_LUNG_ARTERY], p[VESSEL_PULMONARY_VEIN], lung->waterfall_mmhg,
              v->lung_waterfall, lung_r, v->lung_backflow);

    double narrower;
    const double vein_x = inlet_x(v->conduit_ml, y[VARIABLE_LA_ML], &narrower);
    resistance(flows, slopes, BED_PULMONARY_VEIN, p[VESSEL_PULMONARY_VEIN], la_mmhg, v->vein_r * vein_x);
    if (slopes) {
        slopes->lung_resistance_x = -flows->bed[BED_LUNG] / lung->resistance_x;
        slopes->vein_atrium = -flows->bed[BED_PULMONARY_VEIN] * narrower / vein_x;
    }
}
