/* Exact Jacobian of the circulation. Every flow between volumes is subtracted from one row and added to
   another, so the columns over the volumes sum to zero and the integrator keeps the blood volume. The calls
   of `add` do not depend on values, so one evaluation in pattern mode marks every place that can ever be
   used. */
#include "model/circulation.h"
#include "model/circulation_parts.h"

#include <assert.h>
#include <stddef.h>

enum { GRADIENT_MAX = 9 };

/* Derivative of one quantity by the variables it depends on. */
typedef struct Gradient {
    int count;
    int variable[GRADIENT_MAX];
    double slope[GRADIENT_MAX];
} Gradient;

static void term(Gradient *gradient, int variable, double slope) {
    assert(gradient->count < GRADIENT_MAX);
    gradient->variable[gradient->count] = variable;
    gradient->slope[gradient->count++] = slope;
}

static void add(const JacobianSink *sink, int row, int column, double value) {
    const int place = row * VARIABLE_COUNT + column;
    if (!sink->value) {
        sink->mark[place] = 1;
        return;
    }
    assert(sink->place[place] >= 0);
    sink->value[sink->place[place]] += value;
}

static void add_all(const JacobianSink *sink, int row, double factor, const Gradient *gradient) {
    for (int i = 0; i < gradient->count; i++)
        add(sink, row, gradient->variable[i], factor * gradient->slope[i]);
}

/* A flow that follows from `gradient`, out of one volume into another. */
static void add_flow(const JacobianSink *sink, int from, int to, const Gradient *gradient) {
    add_all(sink, from, -1.0, gradient);
    add_all(sink, to, 1.0, gradient);
}

/* A flow that is itself a variable. */
static void add_state_flow(const JacobianSink *sink, int from, int to, int flow, double share) {
    add(sink, from, flow, -share);
    add(sink, to, flow, share);
}

/* What all four chambers share: the pericardium (by any heart volume) and the chest (by the lung). */
static Gradient chamber(const CirculationSlopes *slopes) {
    Gradient gradient = {.count = 0};
    for (int i = 0; i < CHAMBER_COUNT; i++)
        term(&gradient, VARIABLE_LV_ML + i, slopes->heart.pericardium);
    term(&gradient, VARIABLE_LUNG_ML, slopes->lung.mediastinum);
    return gradient;
}

static void chamber_gradients(const CirculationSlopes *slopes, double right_from_ventricle,
                              Gradient *gradients) {
    const HeartSlopes *heart = &slopes->heart;
    for (int i = 0; i < CHAMBER_COUNT; i++) {
        gradients[i] = chamber(slopes);
        gradients[i].slope[i] += heart->own[i];
    }
    term(&gradients[CHAMBER_LV], VARIABLE_SEPTUM_ML, heart->lv_septum);
    term(&gradients[CHAMBER_LV], VARIABLE_AORTIC_ML_S, heart->lv_out);
    term(&gradients[CHAMBER_LV], VARIABLE_LEFT_PUMP_ML_S, heart->lv_out);
    term(&gradients[CHAMBER_RV], VARIABLE_SEPTUM_ML, heart->rv_septum);
    term(&gradients[CHAMBER_RV], VARIABLE_PULMONARY_ML_S, heart->rv_out);
    term(&gradients[CHAMBER_RV], VARIABLE_RIGHT_PUMP_ML_S, heart->rv_out * right_from_ventricle);
    gradients[CHAMBER_LA].slope[CHAMBER_LV] += heart->la_lv;
    gradients[CHAMBER_RA].slope[CHAMBER_RV] += heart->ra_rv;
}

static void vessel_gradients(const CirculationSlopes *slopes, Gradient *gradients) {
    for (int i = 0; i < VESSEL_COUNT; i++) {
        gradients[i].count = 0;
        term(&gradients[i], VARIABLE_AORTA_ML + i, slopes->vessels.pressure[i]);
        if (i == VESSEL_SPLANCHNIC)
            term(&gradients[i], VARIABLE_LUNG_ML, slopes->lung.abdomen);
        else if (i != VESSEL_ARTERY && i != VESSEL_OTHER)
            term(&gradients[i], VARIABLE_LUNG_ML, slopes->lung.mediastinum);
    }
}

/* Flow of a bed: by the pressures up- and downstream and by what the lung does to its outside. */
static void add_bed(const JacobianSink *sink, const CirculationSlopes *slopes, BedFlowId bed, int from,
                    int to, const Gradient *up, const Gradient *down, double by_lung) {
    Gradient gradient = {.count = 0};
    for (int i = 0; i < up->count; i++)
        term(&gradient, up->variable[i], slopes->vessels.bed_up[bed] * up->slope[i]);
    for (int i = 0; i < down->count; i++)
        term(&gradient, down->variable[i], slopes->vessels.bed_down[bed] * down->slope[i]);
    term(&gradient, VARIABLE_LUNG_ML, by_lung);
    add_flow(sink, from, to, &gradient);
}

static void add_beds(const JacobianSink *sink, const CirculationSlopes *slopes, const Gradient *chambers,
                     const Gradient *vessels) {
    const VesselSlopes *v = &slopes->vessels;
    add_bed(sink, slopes, BED_SPLANCHNIC, VARIABLE_ARTERY_ML, VARIABLE_SPLANCHNIC_ML, &vessels[VESSEL_ARTERY],
            &vessels[VESSEL_SPLANCHNIC], 0.0);
    add_bed(sink, slopes, BED_OTHER, VARIABLE_ARTERY_ML, VARIABLE_OTHER_ML, &vessels[VESSEL_ARTERY],
            &vessels[VESSEL_OTHER], 0.0);
    add_bed(sink, slopes, BED_SPLANCHNIC_DRAIN, VARIABLE_SPLANCHNIC_ML, VARIABLE_CAVA_ML,
            &vessels[VESSEL_SPLANCHNIC], &vessels[VESSEL_CAVA],
            v->bed_out[BED_SPLANCHNIC_DRAIN] * slopes->lung.abdomen);
    add_bed(sink, slopes, BED_OTHER_DRAIN, VARIABLE_OTHER_ML, VARIABLE_CAVA_ML, &vessels[VESSEL_OTHER],
            &vessels[VESSEL_CAVA], 0.0);
    add_bed(sink, slopes, BED_LUNG, VARIABLE_LUNG_ARTERY_ML, VARIABLE_PULMONARY_VEIN_ML,
            &vessels[VESSEL_LUNG_ARTERY], &vessels[VESSEL_PULMONARY_VEIN],
            v->bed_out[BED_LUNG] * slopes->lung.waterfall + v->lung_resistance_x * slopes->lung.resistance_x);

    /* into the left atrium: its pressure is that of a chamber, and its inlet narrows with its volume */
    const Gradient *vein = &vessels[VESSEL_PULMONARY_VEIN];
    Gradient gradient = {.count = 0};
    term(&gradient, VARIABLE_PULMONARY_VEIN_ML, v->bed_up[BED_PULMONARY_VEIN] * vein->slope[0]);
    const Gradient *la = &chambers[CHAMBER_LA];
    for (int i = 0; i < la->count; i++)
        term(&gradient, la->variable[i], v->bed_down[BED_PULMONARY_VEIN] * la->slope[i]);
    term(&gradient, VARIABLE_LA_ML, v->vein_atrium);
    term(&gradient, VARIABLE_LUNG_ML, v->bed_up[BED_PULMONARY_VEIN] * slopes->lung.mediastinum);
    add_flow(sink, VARIABLE_PULMONARY_VEIN_ML, VARIABLE_LA_ML, &gradient);
}

static void add_valves(const JacobianSink *sink, const CirculationSlopes *slopes, const Gradient *chambers,
                       const Gradient *vessels) {
    const Gradient *up[VALVE_COUNT] = {&chambers[CHAMBER_LA], &chambers[CHAMBER_LV], &chambers[CHAMBER_RA],
                                       &chambers[CHAMBER_RV]};
    const Gradient *down[VALVE_COUNT] = {&chambers[CHAMBER_LV], &vessels[VESSEL_AORTA], &chambers[CHAMBER_RV],
                                         &vessels[VESSEL_PA]};
    static const int VENTRICLE[VALVE_COUNT] = {VARIABLE_LV_ML, VARIABLE_LV_ML, VARIABLE_RV_ML,
                                               VARIABLE_RV_ML};
    for (int i = 0; i < VALVE_COUNT; i++) {
        const ValveSlopes *valve = &slopes->valve[i];
        const int flow = VARIABLE_MITRAL_ML_S + i;
        const int open = VARIABLE_MITRAL_OPEN + i;
        add_all(sink, flow, valve->flow_pressure, up[i]);
        add_all(sink, flow, -valve->flow_pressure, down[i]);
        add(sink, flow, flow, valve->flow_flow);
        add(sink, flow, open, valve->flow_open);
        add(sink, flow, VENTRICLE[i], valve->flow_ventricle);
        add_all(sink, open, valve->open_pressure, up[i]);
        add_all(sink, open, -valve->open_pressure, down[i]);
        add(sink, open, open, valve->open_open);
    }
}

static void add_pump(const JacobianSink *sink, const PumpSlopes *pump, int flow, int occlusion,
                     const Gradient *outlet) {
    add_all(sink, flow, -pump->flow_pressure, outlet);
    add(sink, flow, flow, pump->flow_flow);
    add(sink, flow, occlusion, pump->flow_occlusion);
    add(sink, occlusion, flow, pump->occlusion_flow);
    add(sink, occlusion, occlusion, pump->occlusion_own);
}

static void add_pumps(const JacobianSink *sink, const CirculationSlopes *slopes, double from_ventricle,
                      const Gradient *chambers, const Gradient *vessels) {
    add_all(sink, VARIABLE_LEFT_PUMP_ML_S, slopes->left.flow_pressure, &chambers[CHAMBER_LV]);
    add_pump(sink, &slopes->left, VARIABLE_LEFT_PUMP_ML_S, VARIABLE_LEFT_OCCLUSION, &vessels[VESSEL_AORTA]);
    add(sink, VARIABLE_LEFT_OCCLUSION, VARIABLE_LV_ML, slopes->left.occlusion_volume);
    add(sink, VARIABLE_LEFT_OCCLUSION, VARIABLE_SEPTUM_ML, slopes->left.occlusion_septum);

    /* both possible inlets are in the pattern; the one not in use adds zeros */
    const double from_atrium = 1.0 - from_ventricle;
    add_all(sink, VARIABLE_RIGHT_PUMP_ML_S, slopes->right.flow_pressure * from_ventricle,
            &chambers[CHAMBER_RV]);
    add_all(sink, VARIABLE_RIGHT_PUMP_ML_S, slopes->right.flow_pressure * from_atrium, &chambers[CHAMBER_RA]);
    add_pump(sink, &slopes->right, VARIABLE_RIGHT_PUMP_ML_S, VARIABLE_RIGHT_OCCLUSION, &vessels[VESSEL_PA]);
    add(sink, VARIABLE_RIGHT_OCCLUSION, VARIABLE_RV_ML, slopes->right.occlusion_volume * from_ventricle);
    add(sink, VARIABLE_RIGHT_OCCLUSION, VARIABLE_RA_ML, slopes->right.occlusion_volume * from_atrium);
    add_state_flow(sink, VARIABLE_RV_ML, VARIABLE_PA_ML, VARIABLE_RIGHT_PUMP_ML_S, from_ventricle);
    add_state_flow(sink, VARIABLE_RA_ML, VARIABLE_PA_ML, VARIABLE_RIGHT_PUMP_ML_S, from_atrium);
}

static void add_inertances(const JacobianSink *sink, const CirculationConstants *constants,
                           const CirculationSlopes *slopes, const CirculationParts *parts, double cava_ml_s,
                           const Gradient *chambers, const Gradient *vessels) {
    const VesselConstants *v = &constants->vessels;
    add_all(sink, VARIABLE_AORTA_ML_S, 1.0 / v->aorta_l, &vessels[VESSEL_AORTA]);
    add_all(sink, VARIABLE_AORTA_ML_S, -1.0 / v->aorta_l, &vessels[VESSEL_ARTERY]);
    add(sink, VARIABLE_AORTA_ML_S, VARIABLE_AORTA_ML_S, -v->aorta_r / v->aorta_l);
    add_all(sink, VARIABLE_PA_ML_S, 1.0 / v->pa_l, &vessels[VESSEL_PA]);
    add_all(sink, VARIABLE_PA_ML_S, -1.0 / v->pa_l, &vessels[VESSEL_LUNG_ARTERY]);
    add(sink, VARIABLE_PA_ML_S, VARIABLE_PA_ML_S, -v->pa_r / v->pa_l);
    add_all(sink, VARIABLE_CAVA_ML_S, 1.0 / v->cava_l, &vessels[VESSEL_CAVA]);
    add_all(sink, VARIABLE_CAVA_ML_S, -1.0 / v->cava_l, &chambers[CHAMBER_RA]);
    add(sink, VARIABLE_CAVA_ML_S, VARIABLE_CAVA_ML_S, -parts->vessels.cava_r / v->cava_l);
    add(sink, VARIABLE_CAVA_ML_S, VARIABLE_RA_ML, -slopes->vessels.cava_r_atrium * cava_ml_s / v->cava_l);
}

void model_circulation_jacobian(const CirculationConstants *constants, const CirculationDrive *drive,
                                const double *y, const JacobianSink *sink) {
    CirculationParts parts;
    CirculationSlopes slopes;
    circulation_parts(constants, drive, y, &parts, &slopes);
    const double from_ventricle = constants->right.from_ventricle ? 1.0 : 0.0;
    Gradient chambers[CHAMBER_COUNT];
    Gradient vessels[VESSEL_COUNT];
    chamber_gradients(&slopes, from_ventricle, chambers);
    vessel_gradients(&slopes, vessels);

    add_state_flow(sink, VARIABLE_LA_ML, VARIABLE_LV_ML, VARIABLE_MITRAL_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_LV_ML, VARIABLE_AORTA_ML, VARIABLE_AORTIC_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_LV_ML, VARIABLE_AORTA_ML, VARIABLE_LEFT_PUMP_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_AORTA_ML, VARIABLE_ARTERY_ML, VARIABLE_AORTA_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_CAVA_ML, VARIABLE_RA_ML, VARIABLE_CAVA_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_RA_ML, VARIABLE_RV_ML, VARIABLE_TRICUSPID_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_RV_ML, VARIABLE_PA_ML, VARIABLE_PULMONARY_ML_S, 1.0);
    add_state_flow(sink, VARIABLE_PA_ML, VARIABLE_LUNG_ARTERY_ML, VARIABLE_PA_ML_S, 1.0);
    add_beds(sink, &slopes, chambers, vessels);

    /* the septum moves with the difference of the ventricular pressures against its own law */
    const double per_r = 1.0 / constants->heart.septum_r;
    add_all(sink, VARIABLE_SEPTUM_ML, per_r, &chambers[CHAMBER_LV]);
    add_all(sink, VARIABLE_SEPTUM_ML, -per_r, &chambers[CHAMBER_RV]);
    add(sink, VARIABLE_SEPTUM_ML, VARIABLE_SEPTUM_ML, -per_r * slopes.heart.septum_law);

    add_inertances(sink, constants, &slopes, &parts, y[VARIABLE_CAVA_ML_S], chambers, vessels);
    add_valves(sink, &slopes, chambers, vessels);
    add_pumps(sink, &slopes, from_ventricle, chambers, vessels);
    add(sink, VARIABLE_LUNG_ML, VARIABLE_LUNG_ML, slopes.lung.rate);
}
