/* The circulation's constants, drive, right-hand side, samples. The Jacobian is in circulation_jacobian.c. */
#include "model/circulation.h"

#include "model/circulation_parts.h"
#include "model/smooth.h"
#include "model/units.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define VOLUME_LEAST_ML -0.015 /* absolute tolerance of a volume: nearer to zero than this counts as empty   \
                                */

/* Usual pressures above the outside, mmHg, from which a new patient starts. */
static const double START_MMHG[VESSEL_COUNT] = {85, 85, 7, 6, 4, 15, 14, 9};
static const double START_CHAMBER_ML[CHAMBER_COUNT] = {120, 130, 55, 55};
#define START_VEIN_LEAST       0.5 /* share of unstressed volume that veins hold at least before all is scaled */
#define FOLLOW_ML_S            50.0
#define FOLLOW_CHEST_PER_S     0.2
#define FOLLOW_LAMBDA_PER_ML_S 0.004
#define START_SQUEEZE_MMHG     5.0 /* pericardial pressure that a start may have */
#define START_SCALE_LEAST_MMHG 0.01
#define START_ROOM_LEAST       0.15

/* What the parameters say lies around the heart: clots by chamber, then free fluid. */
static void collections(const Parameters *p, double *ml) {
    ml[CHAMBER_LV] = p->clot_lv_ml;
    ml[CHAMBER_RV] = p->clot_rv_ml;
    ml[CHAMBER_LA] = p->clot_la_ml;
    ml[CHAMBER_RA] = p->clot_ra_ml;
    ml[CIRCULATION_CLOT_SITES] = p->pericardial_free_ml;
}

/* `value` moved toward `aim` by at most `most`. */
static double toward(double value, double aim, double most) {
    return value + fmin(fmax(aim - value, -most), most);
}

void model_circulation_follow(CirculationState *state, const Parameters *parameters, double dt_s) {
    double aim_ml[CIRCULATION_CLOT_SITES + 1];
    collections(parameters, aim_ml);
    for (int i = 0; i <= CIRCULATION_CLOT_SITES; i++)
        state->placed_ml[i] = toward(state->placed_ml[i], aim_ml[i], FOLLOW_ML_S * dt_s);
    state->chest_open = toward(state->chest_open, parameters->chest_open, FOLLOW_CHEST_PER_S * dt_s);
    state->pericardium_v0_ml =
        toward(state->pericardium_v0_ml, parameters->pericardium_v0_ml, FOLLOW_ML_S * dt_s);
    state->pericardium_lambda_per_ml =
        toward(state->pericardium_lambda_per_ml, parameters->pericardium_lambda_per_ml,
               FOLLOW_LAMBDA_PER_ML_S * dt_s);
}

/* Share of the usual chamber volumes that the pericardium leaves room for at a moderate pressure. */
static double start_room(const Parameters *p) {
    const double collection_ml =
        p->pericardial_free_ml + p->clot_lv_ml + p->clot_rv_ml + p->clot_la_ml + p->clot_ra_ml;
    double usual_ml = 0;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        usual_ml += START_CHAMBER_ML[i];
    const double scale_mmhg = fmax(p->pericardium_a_mmhg, START_SCALE_LEAST_MMHG);
    const double room_ml = p->pericardium_v0_ml - collection_ml +
                           log1p(START_SQUEEZE_MMHG / scale_mmhg) / p->pericardium_lambda_per_ml;
    return fmin(fmax(room_ml / usual_ml, START_ROOM_LEAST), 1.0);
}

void model_circulation_start(CirculationState *state, const Parameters *parameters) {
    memset(state, 0, sizeof *state);
    collections(parameters, state->placed_ml);
    state->chest_open = parameters->chest_open;
    state->pericardium_v0_ml = parameters->pericardium_v0_ml;
    state->pericardium_lambda_per_ml = parameters->pericardium_lambda_per_ml;
    double *y = state->y;
    const Effects none = model_effects_none();
    const VesselConstants vessels = model_vessels_constants(parameters, &none);
    for (int i = 0; i < CHAMBER_COUNT; i++)
        y[VARIABLE_LV_ML + i] = START_CHAMBER_ML[i] * start_room(parameters);
    for (int i = 0; i < VESSEL_COUNT; i++)
        y[VARIABLE_AORTA_ML + i] = vessels.unstressed_ml[i] + START_MMHG[i] / vessels.elastance[i];

    /* what is missing or left over goes to the systemic veins; if they cannot give it, the arteries start
       without pressure and all else shrinks */
    const double blood_ml = parameters->blood_volume_ml;
    const double veins_ml = y[VARIABLE_SPLANCHNIC_ML] + y[VARIABLE_OTHER_ML];
    const double least_ml =
        START_VEIN_LEAST * (vessels.unstressed_ml[VESSEL_SPLANCHNIC] + vessels.unstressed_ml[VESSEL_OTHER]);
    const double new_veins_ml = veins_ml + blood_ml - model_circulation_blood_ml(y);
    if (new_veins_ml > least_ml) {
        y[VARIABLE_SPLANCHNIC_ML] *= new_veins_ml / veins_ml;
        y[VARIABLE_OTHER_ML] *= new_veins_ml / veins_ml;
    } else {
        y[VARIABLE_AORTA_ML] = vessels.unstressed_ml[VESSEL_AORTA];
        y[VARIABLE_ARTERY_ML] = vessels.unstressed_ml[VESSEL_ARTERY];
        const double share = blood_ml / model_circulation_blood_ml(y);
        for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
            y[i] *= share;
    }
    const PumpConstants left = model_pump_constants(parameters, PUMP_LEFT, none.viscosity_x);
    const PumpConstants right = model_pump_constants(parameters, PUMP_RIGHT, none.viscosity_x);
    state->left_krpm = left.present ? left.target_krpm : 0.0;
    state->right_krpm = right.present ? right.target_krpm : 0.0;
    if (parameters->ventilated > 0.5)
        y[VARIABLE_LUNG_ML] = parameters->peep_cmh2o * UNITS_MMHG_PER_CMH2O /
                              (parameters->lung_e_mmhg_ml + parameters->chest_wall_e_mmhg_ml);
    state->wedge_mmhg = START_MMHG[VESSEL_PULMONARY_VEIN];
    state->airway_peak_mmhg = -1.0;
}

void model_circulation_prepare(CirculationConstants *constants, const Parameters *wanted,
                               const Effects *effects, const CirculationState *state,
                               const BeatTiming *timing) {
    Parameters now = *wanted;
    const Parameters *parameters = &now;
    now.chest_open = state->chest_open;
    now.pericardium_v0_ml = state->pericardium_v0_ml;
    now.pericardium_lambda_per_ml = state->pericardium_lambda_per_ml;

    constants->ventricle = model_activation_shape(parameters->ventricle_rise_s, parameters->ventricle_rise_n,
                                                  parameters->ventricle_fall_s,
                                                  parameters->ventricle_fall_n / effects->relaxation_x);
    constants->atrium = model_activation_shape(parameters->atrium_rise_s, parameters->atrium_rise_n,
                                               parameters->atrium_fall_s, parameters->atrium_fall_n);
    constants->timing = *timing;
    constants->lung = model_lung_constants(parameters, state->breath_frac);
    double clot_ml[CIRCULATION_CLOT_SITES];
    for (int i = 0; i < CIRCULATION_CLOT_SITES; i++)
        clot_ml[i] = state->placed_ml[i] + state->clot_ml[i];
    constants->heart =
        model_heart_constants(parameters, effects, timing->ventricular_ees_x,
                              state->placed_ml[CIRCULATION_CLOT_SITES] + state->free_ml, clot_ml);
    for (int i = 0; i < VALVE_COUNT; i++)
        constants->valve[i] = model_valves_constants(parameters, (ValveId)i);
    constants->vessels = model_vessels_constants(parameters, effects);
    constants->left = model_pump_constants(parameters, PUMP_LEFT, effects->viscosity_x);
    constants->right = model_pump_constants(parameters, PUMP_RIGHT, effects->viscosity_x);
    constants->left_krpm_start = state->left_krpm;
    constants->right_krpm_start = state->right_krpm;
}

void model_circulation_drive_heart(const CirculationConstants *constants, double t_s,
                                   CirculationDrive *drive) {
    const BeatTiming *timing = &constants->timing;
    drive->t_s = t_s;

    /* the newest beat goes on from where the older one's tail is: e = h + (1 - h) e_old */
    double e = timing->tone_frac;
    double a = timing->tone_frac;
    for (int i = 0; i < 2; i++) {
        const Activation *beat = &timing->ventricular[i];
        if (beat->strength <= 0) continue;
        const double h = model_activation_level(&constants->ventricle, beat, t_s);
        e = h + (1.0 - h) * e;
        a = beat->strength * h + (1.0 - h) * a;
    }
    drive->ventricle_e = e;
    drive->ventricle_a = a;
    a = 0.0;
    for (int i = 0; i < timing->atrial_count; i++) {
        const Activation *beat = &timing->atrial[i];
        if (beat->strength <= 0) continue;
        const double h = model_activation_level(&constants->atrium, beat, t_s);
        a = beat->strength * h + (1.0 - h) * a;
    }
    drive->atrium_a = a;
    drive->lung = model_lung_drive(&constants->lung, t_s);
}

void model_circulation_drive(const CirculationConstants *constants, double t_s, CirculationDrive *drive) {
    model_circulation_drive_heart(constants, t_s, drive);
    drive->left = model_pump_drive(&constants->left,
                                   model_pump_krpm(&constants->left, constants->left_krpm_start, t_s));
    drive->right = model_pump_drive(&constants->right,
                                    model_pump_krpm(&constants->right, constants->right_krpm_start, t_s));
}

/* Pressures of lung and heart, on which all else depends. */
static void heart_and_lung(const CirculationConstants *constants, const CirculationDrive *drive,
                           const double *y, CirculationParts *parts, CirculationSlopes *slopes) {
    const double left_ml_s = y[VARIABLE_LEFT_PUMP_ML_S];
    const double right_ml_s = y[VARIABLE_RIGHT_PUMP_ML_S];
    model_lung_pressures(&constants->lung, &drive->lung, y[VARIABLE_LUNG_ML], &parts->lung,
                         slopes ? &slopes->lung : NULL);
    const HeartDrive heart_drive = {
        .ventricle_e = drive->ventricle_e,
        .ventricle_a = drive->ventricle_a,
        .atrium_a = drive->atrium_a,
        .mediastinum_mmhg = parts->lung.mediastinum_mmhg,
        .lv_out_ml_s = y[VARIABLE_AORTIC_ML_S] + left_ml_s,
        .rv_out_ml_s = y[VARIABLE_PULMONARY_ML_S] + (constants->right.from_ventricle ? right_ml_s : 0.0),
    };
    model_heart_pressures(&constants->heart, &heart_drive, &y[VARIABLE_LV_ML], y[VARIABLE_SEPTUM_ML],
                          &parts->heart, slopes ? &slopes->heart : NULL);
}

void circulation_parts(const CirculationConstants *constants, const CirculationDrive *drive, const double *y,
                       CirculationParts *parts, CirculationSlopes *slopes) {
    heart_and_lung(constants, drive, y, parts, slopes);
    const double *chamber = parts->heart.chamber_mmhg;
    model_vessels_flows(&constants->vessels, &parts->lung, y, chamber[CHAMBER_LA], &parts->vessels,
                        slopes ? &slopes->vessels : NULL);
    const double *vessel = parts->vessels.pressure;

    const double up[VALVE_COUNT] = {chamber[CHAMBER_LA], chamber[CHAMBER_LV], chamber[CHAMBER_RA],
                                    chamber[CHAMBER_RV]};
    const double down[VALVE_COUNT] = {chamber[CHAMBER_LV], vessel[VESSEL_AORTA], chamber[CHAMBER_RV],
                                      vessel[VESSEL_PA]};
    const double ventricle_ml[VALVE_COUNT] = {y[VARIABLE_LV_ML], y[VARIABLE_LV_ML], y[VARIABLE_RV_ML],
                                              y[VARIABLE_RV_ML]};
    for (int i = 0; i < VALVE_COUNT; i++)
        parts->valve[i] = model_valves_rates(&constants->valve[i], up[i] - down[i],
                                             y[VARIABLE_MITRAL_ML_S + i], y[VARIABLE_MITRAL_OPEN + i],
                                             ventricle_ml[i], slopes ? &slopes->valve[i] : NULL);

    const ChamberId inlet = constants->right.from_ventricle ? CHAMBER_RV : CHAMBER_RA;
    parts->left = model_pump_rates(&constants->left, &drive->left, chamber[CHAMBER_LV] - vessel[VESSEL_AORTA],
                                   y[VARIABLE_LEFT_PUMP_ML_S], y[VARIABLE_LEFT_OCCLUSION], y[VARIABLE_LV_ML],
                                   y[VARIABLE_SEPTUM_ML], slopes ? &slopes->left : NULL);
    parts->right = model_pump_rates(&constants->right, &drive->right, chamber[inlet] - vessel[VESSEL_PA],
                                    y[VARIABLE_RIGHT_PUMP_ML_S], y[VARIABLE_RIGHT_OCCLUSION],
                                    y[VARIABLE_LV_ML + (int)inlet], 0.0, slopes ? &slopes->right : NULL);
}

/* Moves `flow` (mL/s) from one volume to another. */
static void move(double *rates, int from, int to, double flow) {
    rates[from] -= flow;
    rates[to] += flow;
}

void model_circulation_rates(const CirculationConstants *constants, const CirculationDrive *drive,
                             const double *y, double *rates) {
    CirculationParts parts;
    circulation_parts(constants, drive, y, &parts, NULL);
    const double *p = parts.vessels.pressure;
    const double *bed = parts.vessels.bed;
    const VesselConstants *v = &constants->vessels;

    for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
        rates[i] = 0.0;
    move(rates, VARIABLE_LA_ML, VARIABLE_LV_ML, y[VARIABLE_MITRAL_ML_S]);
    move(rates, VARIABLE_LV_ML, VARIABLE_AORTA_ML, y[VARIABLE_AORTIC_ML_S]);
    move(rates, VARIABLE_LV_ML, VARIABLE_AORTA_ML, y[VARIABLE_LEFT_PUMP_ML_S]);
    move(rates, VARIABLE_AORTA_ML, VARIABLE_ARTERY_ML, y[VARIABLE_AORTA_ML_S]);
    move(rates, VARIABLE_ARTERY_ML, VARIABLE_SPLANCHNIC_ML, bed[BED_SPLANCHNIC]);
    move(rates, VARIABLE_ARTERY_ML, VARIABLE_OTHER_ML, bed[BED_OTHER]);
    move(rates, VARIABLE_SPLANCHNIC_ML, VARIABLE_CAVA_ML, bed[BED_SPLANCHNIC_DRAIN]);
    move(rates, VARIABLE_OTHER_ML, VARIABLE_CAVA_ML, bed[BED_OTHER_DRAIN]);
    move(rates, VARIABLE_CAVA_ML, VARIABLE_RA_ML, y[VARIABLE_CAVA_ML_S]);
    move(rates, VARIABLE_RA_ML, VARIABLE_RV_ML, y[VARIABLE_TRICUSPID_ML_S]);
    move(rates, VARIABLE_RV_ML, VARIABLE_PA_ML, y[VARIABLE_PULMONARY_ML_S]);
    move(rates, constants->right.from_ventricle ? VARIABLE_RV_ML : VARIABLE_RA_ML, VARIABLE_PA_ML,
         y[VARIABLE_RIGHT_PUMP_ML_S]);
    move(rates, VARIABLE_PA_ML, VARIABLE_LUNG_ARTERY_ML, y[VARIABLE_PA_ML_S]);
    move(rates, VARIABLE_LUNG_ARTERY_ML, VARIABLE_PULMONARY_VEIN_ML, bed[BED_LUNG]);
    move(rates, VARIABLE_PULMONARY_VEIN_ML, VARIABLE_LA_ML, bed[BED_PULMONARY_VEIN]);

    rates[VARIABLE_SEPTUM_ML] = parts.heart.septum_rate_ml_s;
    rates[VARIABLE_AORTA_ML_S] =
        (p[VESSEL_AORTA] - p[VESSEL_ARTERY] - v->aorta_r * y[VARIABLE_AORTA_ML_S]) / v->aorta_l;
    rates[VARIABLE_PA_ML_S] =
        (p[VESSEL_PA] - p[VESSEL_LUNG_ARTERY] - v->pa_r * y[VARIABLE_PA_ML_S]) / v->pa_l;
    rates[VARIABLE_CAVA_ML_S] = (p[VESSEL_CAVA] - parts.heart.chamber_mmhg[CHAMBER_RA] -
                                 parts.vessels.cava_r * y[VARIABLE_CAVA_ML_S]) /
                                v->cava_l;
    for (int i = 0; i < VALVE_COUNT; i++) {
        rates[VARIABLE_MITRAL_ML_S + i] = parts.valve[i].flow_ml_s2;
        rates[VARIABLE_MITRAL_OPEN + i] = parts.valve[i].open_per_s;
    }
    rates[VARIABLE_LEFT_PUMP_ML_S] = parts.left.flow_ml_s2;
    rates[VARIABLE_LEFT_OCCLUSION] = parts.left.occlusion_per_s;
    rates[VARIABLE_RIGHT_PUMP_ML_S] = parts.right.flow_ml_s2;
    rates[VARIABLE_RIGHT_OCCLUSION] = parts.right.occlusion_per_s;
    rates[VARIABLE_LUNG_ML] = parts.lung.rate_ml_s;
}

void model_circulation_sample(const CirculationConstants *constants, const CirculationDrive *drive,
                              const double *y, Sample *sample) {
    CirculationParts parts;
    heart_and_lung(constants, drive, y, &parts, NULL);
    model_vessels_pressures(&constants->vessels, &parts.lung, y, &parts.vessels, NULL);
    const double *chamber = parts.heart.chamber_mmhg;
    const double *vessel = parts.vessels.pressure;
    /* the catheter lies upstream of a narrowed inlet of the right atrium */
    const double narrowing = parts.vessels.cava_r - parts.vessels.cava_r_rest;
    *sample = (Sample){
        .lv_mmhg = chamber[CHAMBER_LV],
        .rv_mmhg = chamber[CHAMBER_RV],
        .la_mmhg = chamber[CHAMBER_LA],
        .ra_mmhg = chamber[CHAMBER_RA],
        .aorta_mmhg = vessel[VESSEL_AORTA],
        .artery_mmhg = vessel[VESSEL_ARTERY],
        .pa_mmhg = vessel[VESSEL_PA],
        .pulmonary_vein_mmhg = vessel[VESSEL_PULMONARY_VEIN],
        .cvp_mmhg = chamber[CHAMBER_RA] + y[VARIABLE_CAVA_ML_S] * narrowing,
        .pericardium_mmhg = parts.heart.pericardium_mmhg,
        .pleura_mmhg = parts.lung.pleura_mmhg,
        .airway_mmhg = drive->lung.airway_mmhg,
        .lv_ml = y[VARIABLE_LV_ML],
        .rv_ml = y[VARIABLE_RV_ML],
        .la_ml = y[VARIABLE_LA_ML],
        .ra_ml = y[VARIABLE_RA_ML],
        .septum_ml = y[VARIABLE_SEPTUM_ML],
        .lung_ml = y[VARIABLE_LUNG_ML],
        .mitral_ml_s = y[VARIABLE_MITRAL_ML_S],
        .aortic_ml_s = y[VARIABLE_AORTIC_ML_S],
        .tricuspid_ml_s = y[VARIABLE_TRICUSPID_ML_S],
        .pulmonary_ml_s = y[VARIABLE_PULMONARY_ML_S],
        .mitral_open = y[VARIABLE_MITRAL_OPEN],
        .aortic_open = y[VARIABLE_AORTIC_OPEN],
        .tricuspid_open = y[VARIABLE_TRICUSPID_OPEN],
        .pulmonary_open = y[VARIABLE_PULMONARY_OPEN],
        .left_pump_ml_s = y[VARIABLE_LEFT_PUMP_ML_S],
        .right_pump_ml_s = y[VARIABLE_RIGHT_PUMP_ML_S],
        .left_occlusion = y[VARIABLE_LEFT_OCCLUSION],
        .right_occlusion = y[VARIABLE_RIGHT_OCCLUSION],
    };
}

double model_circulation_blood_ml(const double *y) {
    double sum = 0;
    for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
        sum += y[i];
    return sum;
}

const char *model_circulation_variable_text(int variable) {
    static const char *const TEXTS[VARIABLE_COUNT] = {
#define V(name, text, tolerance) text,
        VARIABLES(V)
#undef V
    };
    assert(variable >= 0 && variable < VARIABLE_COUNT);
    return TEXTS[variable];
}

ErrorCode model_circulation_check(const double *y, double time_s, Error *error) {
    for (int i = 0; i < VARIABLE_COUNT; i++)
        if (!isfinite(y[i]))
            return model_error_set(error, ERROR_NOT_FINITE, "%s is not finite at %.3f s",
                                   model_circulation_variable_text(i), time_s);
    for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
        if (y[i] < VOLUME_LEAST_ML)
            return model_error_set(error, ERROR_NEGATIVE_VOLUME, "%s is %.3f mL at %.3f s",
                                   model_circulation_variable_text(i), y[i], time_s);
    return ERROR_OK;
}
