/* The table of parameters, and what cannot be a person. */
#include "model/parameters.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

static const ParameterRow ROWS[PARAMETER_COUNT] = {
#define P(key, unit, standard, low, high, text, source) {#key, unit, standard, low, high, text, source},
#include "model/parameters.def"
#undef P
};

static const size_t OFFSETS[PARAMETER_COUNT] = {
#define P(key, unit, standard, low, high, text, source) offsetof(Parameters, key),
#include "model/parameters.def"
#undef P
};

/* Share of the unstressed volume that a circulation needs to be one at all. */
#define BLOOD_LEAST_FRAC  0.5
#define BLOOD_MOST_FRAC   3.0
#define HEAD_MOST_MMHG    400.0 /* no blood pump is built for more */
#define RPM_PER_KRPM      1000.0
#define SQUEEZE_MOST_MMHG 30.0 /* pericardial pressure around empty chambers: no heart fills against it */
#define EXPONENT_MOST     50.0

const ParameterRow *model_parameters_row(ParameterId id) {
    assert((int)id >= 0 && id < PARAMETER_COUNT);
    return &ROWS[id];
}

ParameterId model_parameters_find(const char *key) {
    for (int i = 0; i < PARAMETER_COUNT; i++)
        if (strcmp(ROWS[i].key, key) == 0) return (ParameterId)i;
    return PARAMETER_COUNT;
}

Parameters model_parameters_standard(void) {
    return (Parameters){
#define P(key, unit, standard, low, high, text, source) .key = (standard),
#include "model/parameters.def"
#undef P
    };
}

double model_parameters_get(const Parameters *parameters, ParameterId id) {
    assert((int)id >= 0 && id < PARAMETER_COUNT);
    double value;
    memcpy(&value, (const char *)parameters + OFFSETS[id], sizeof value);
    return value;
}

static ErrorCode check_range(ParameterId id, double value, Error *error) {
    const ParameterRow *row = &ROWS[id];
    if (isfinite(value) && value >= row->low && value <= row->high) return ERROR_OK;
    model_error_set(error, ERROR_RANGE, "%s %g %s is out of range", row->key, value, row->unit);
    model_error_at(error, row->key, 0, 0);
    model_error_allow(error, "allowed %g to %g %s", row->low, row->high, row->unit);
    return ERROR_RANGE;
}

ErrorCode model_parameters_set(Parameters *parameters, ParameterId id, double value, Error *error) {
    assert((int)id >= 0 && id < PARAMETER_COUNT);
    const ErrorCode code = check_range(id, value, error);
    if (code == ERROR_OK) memcpy((char *)parameters + OFFSETS[id], &value, sizeof value);
    return code;
}

static ErrorCode refuse(Error *error, const char *where, const char *what, const char *allowed) {
    model_error_set(error, ERROR_COMBINATION, "%s", what);
    model_error_at(error, where, 0, 0);
    model_error_allow(error, "%s", allowed);
    return ERROR_COMBINATION;
}

/* One rule a whole set must keep. */
typedef struct Rule {
    bool broken;
    const char *where, *what, *allowed;
} Rule;

ErrorCode model_parameters_check(const Parameters *p, Error *error) {
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const ErrorCode code = check_range((ParameterId)i, model_parameters_get(p, (ParameterId)i), error);
        if (code != ERROR_OK) return code;
    }
    const double unstressed_ml = p->aorta_vu_ml + p->artery_vu_ml + p->splanchnic_vu_ml + p->other_vu_ml +
                                 p->cava_vu_ml + p->pa_vu_ml + p->lung_artery_vu_ml + p->pulmonary_vein_vu_ml;
    const double left_krpm = p->left_pump_speed_rpm / RPM_PER_KRPM;
    const double right_krpm = p->right_pump_speed_rpm / RPM_PER_KRPM;
    const double collection_ml =
        p->clot_lv_ml + p->clot_rv_ml + p->clot_la_ml + p->clot_ra_ml + p->pericardial_free_ml;
    const double squeeze_mmhg =
        p->pericardium_a_mmhg *
        exp(fmin(p->pericardium_lambda_per_ml * (collection_ml - p->pericardium_v0_ml), EXPONENT_MOST));
    const Rule rules[] = {
        {p->left_pump_present > 0.5 && p->left_pump_a_mmhg_krpm2 * left_krpm * left_krpm > HEAD_MOST_MMHG,
         "left_pump_speed_rpm", "left pump too fast for its curve: more than 400 mmHg without flow",
         "a lower left_pump_speed_rpm or left_pump_a_mmhg_krpm2"},
        {p->right_pump_present > 0.5 && p->right_pump_a_mmhg_krpm2 * right_krpm * right_krpm > HEAD_MOST_MMHG,
         "right_pump_speed_rpm", "right pump too fast for its curve: more than 400 mmHg without flow",
         "a lower right_pump_speed_rpm or right_pump_a_mmhg_krpm2"},
        {p->blood_volume_ml < BLOOD_LEAST_FRAC * unstressed_ml, "blood_volume_ml",
         "less blood than half of what fills the vessels without pressure",
         "more blood, or smaller unstressed volumes (*_vu_ml)"},
        {p->blood_volume_ml > BLOOD_MOST_FRAC * unstressed_ml, "blood_volume_ml",
         "more blood than three times what fills the vessels without pressure",
         "less blood, or larger unstressed volumes (*_vu_ml)"},
        {p->ventricle_rise_s >= p->ventricle_fall_s, "ventricle_rise_s",
         "ventricular activation falls before it has risen", "ventricle_rise_s below ventricle_fall_s"},
        {p->atrium_rise_s >= p->atrium_fall_s, "atrium_rise_s", "atrial activation falls before it has risen",
         "atrium_rise_s below atrium_fall_s"},
        {p->lv_vd_ml > p->blood_volume_ml / 10, "lv_vd_ml",
         "left ventricular dead volume above a tenth of the blood", "a smaller lv_vd_ml"},
        {p->chest_open < 0.5 && squeeze_mmhg > SQUEEZE_MOST_MMHG, "pericardial_free_ml",
         "clots and free fluid that leave no room for a heart",
         "less clot or fluid, a larger pericardium_v0_ml, or an open chest"},
        {p->mitral_leak_cm2 > p->mitral_area_cm2, "mitral_leak_cm2", "mitral leak larger than the open valve",
         "mitral_leak_cm2 below mitral_area_cm2"},
        {p->aortic_leak_cm2 > p->aortic_area_cm2, "aortic_leak_cm2", "aortic leak larger than the open valve",
         "aortic_leak_cm2 below aortic_area_cm2"},
        {p->tricuspid_leak_cm2 > p->tricuspid_area_cm2, "tricuspid_leak_cm2",
         "tricuspid leak larger than the open valve", "tricuspid_leak_cm2 below tricuspid_area_cm2"},
        {p->pulmonary_leak_cm2 > p->pulmonary_area_cm2, "pulmonary_leak_cm2",
         "pulmonary leak larger than the open valve", "pulmonary_leak_cm2 below pulmonary_area_cm2"},
    };
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++)
        if (rules[i].broken) return refuse(error, rules[i].where, rules[i].what, rules[i].allowed);
    return ERROR_OK;
}
