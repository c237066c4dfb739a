/* The five verified sets. Each later one adds to the one it builds on. */
#include "model/people.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

/* One override of a default. */
typedef struct Override {
    ParameterId id;
    double value;
} Override;

#define SET(key, value)                                                                                      \
    { PARAMETER_##key, (value) }
#define COUNT(list) (sizeof(list) / sizeof((list)[0]))

static const Override DILATED_FAILURE[] = {
    SET(lv_ees_mmhg_ml, 0.602),
    SET(lv_vd_ml, 60),
    SET(lv_beta_per_ml, 0.02196),
    SET(lv_v0_ml, 105),
    SET(rv_ees_mmhg_ml, 0.359),
    SET(rv_vd_ml, 20),
    SET(rv_beta_per_ml, 0.01792),
    SET(rv_v0_ml, 44.6),
    SET(la_ees_mmhg_ml, 0.22),
    SET(la_vd_ml, 15),
    SET(la_alpha_mmhg, 0.8),
    SET(la_beta_per_ml, 0.041),
    SET(la_v0_ml, 30),
    SET(ra_ees_mmhg_ml, 0.18),
    SET(ra_vd_ml, 10),
    SET(ra_beta_per_ml, 0.0387),
    SET(ra_v0_ml, 15),
    SET(septum_ees_mmhg_ml, 5),
    SET(septum_p0_mmhg, 3.5),
    SET(ventricle_fall_n, 21.9),
    SET(pr_interval_s, 0.18),
    SET(la_base_descent_frac, 0.08),
    SET(ra_base_descent_frac, 0.14),
    SET(la_base_reference_ml, 280),
    SET(ra_base_reference_ml, 210),
    SET(pericardium_lambda_per_ml, 0.016),
    SET(pericardium_v0_ml, 600),
    SET(mitral_leak_gain_cm2_ml, 0.00335),
    SET(mitral_leak_onset_ml, 200),
    SET(tricuspid_leak_gain_cm2_ml, 0.003),
    SET(tricuspid_leak_onset_ml, 160),
    SET(aorta_c_ml_mmhg, 0.60),
    SET(artery_c_ml_mmhg, 0.52),
    SET(splanchnic_r_mmhg_s_ml, 3.477),
    SET(other_r_mmhg_s_ml, 1.496),
    SET(pa_c_ml_mmhg, 0.7),
    SET(lung_artery_c_ml_mmhg, 1.0),
    SET(pulmonary_vein_c_ml_mmhg, 9),
    SET(pulmonary_r_mmhg_s_ml, 0.1525),
    SET(blood_volume_ml, 6316),
    SET(hct_start_frac, 0.38),
    SET(respiratory_rate_per_min, 18),
    SET(effort_mmhg, 6),
    SET(abdomen_mmhg, 5),
    SET(reflex_gain, 0.5),
    SET(reflex_heart_gain, 0.5),
    SET(sinus_rate_per_min, 84),
    SET(potentiation_x, 0.15),
    SET(force_frequency_min, -0.003),
    /* receptors turned down: Akhtar 1975, Monrad 1986 (rate +7 to +16 % at dobutamine 10); sizes design */
    SET(beta_response_lv_frac, 0.6),
    SET(beta_response_rv_frac, 0.5),
    SET(beta_response_hr_frac, 0.5),
    SET(dobutamine_svr_x, 1.3),
    SET(epinephrine_hr_x, 0.4),
    SET(epinephrine_svr_x, 1.0),
    SET(milrinone_response_lv_frac, 0.9),
};

static const Override SUPPORTED[] = {
    SET(left_pump_present, 1),
    SET(left_pump_speed_rpm, 8370),
    SET(left_pump_suction_ml, 138),
    SET(left_pump_suction_septum, 0.7),
    SET(lv_ees_mmhg_ml, 0.66),
    SET(rv_ees_mmhg_ml, 0.284),
    SET(pericardium_lambda_per_ml, 0.03),
    SET(pericardium_v0_ml, 600),
    SET(splanchnic_r_mmhg_s_ml, 2.79),
    SET(other_r_mmhg_s_ml, 1.20),
    SET(pulmonary_r_mmhg_s_ml, 0.0988),
    SET(blood_volume_ml, 5762),
    SET(respiratory_rate_per_min, 16),
    SET(effort_mmhg, 5),
    /* hours after bypass the vessels answer less to beta agonists: Butterworth 1992, Feneck 2001 */
    SET(dobutamine_svr_x, 0.8),
    SET(epinephrine_svr_x, 0.5),
};

static const Override CENTRIFUGAL[] = {
    SET(left_pump_speed_rpm, 2345),
    SET(left_pump_a_mmhg_krpm2, 15),
    SET(left_pump_b_mmhg_min_l_krpm, 0.60),
    SET(left_pump_c_mmhg_min2_l2, 0.65),
    SET(left_pump_stop_krpm, 0.35),
    SET(left_pump_l_mmhg_s2_ml, 0.020),
    SET(left_pump_power_0_w, 0.8),
    SET(left_pump_power_1_w_krpm3, 0.075),
    SET(left_pump_power_2_w_min_l_krpm2, 0.053),
    SET(rv_ees_mmhg_ml, 0.285),
    SET(splanchnic_r_mmhg_s_ml, 2.79),
    /* shown against true flow of a centrifugal pump, bench in animals: 0.90 x + 1.55 */
    SET(left_pump_estimate_gain, 0.90),
    SET(left_pump_estimate_offset_l_min, 1.55),
};

static const Override RV_FAILURE[] = {
    SET(rv_ees_mmhg_ml, 0.124),
    SET(tricuspid_leak_gain_cm2_ml, 0.006),
    SET(tricuspid_leak_onset_ml, 170),
    SET(splanchnic_r_mmhg_s_ml, 2.777),
    SET(other_r_mmhg_s_ml, 1.195),
    SET(pulmonary_r_mmhg_s_ml, 0.1614),
    SET(blood_volume_ml, 6281),
    SET(ventilated, 1),
    SET(peep_cmh2o, 5),
    SET(driving_cmh2o, 12.2),
    SET(effort_mmhg, 0),
    SET(sinus_rate_per_min, 100),
    SET(left_pump_suction_ml, 133),
};

/* A person: one list, on top of another person. */
static const struct {
    const char *key, *text;
    PersonId base;
    const Override *list;
    size_t count;
} PEOPLE[PERSON_COUNT] = {
    [PERSON_HEALTHY] = {"healthy", "a healthy adult", PERSON_COUNT, NULL, 0},
    [PERSON_DILATED_FAILURE] = {"dilated_failure", "end-stage dilated heart failure before support",
                                PERSON_HEALTHY, DILATED_FAILURE, COUNT(DILATED_FAILURE)},
    [PERSON_SUPPORTED_AXIAL] = {"supported_axial", "supported by an axial left pump, right ventricle holding",
                                PERSON_DILATED_FAILURE, SUPPORTED, COUNT(SUPPORTED)},
    [PERSON_SUPPORTED_CENTRIFUGAL] = {"supported_centrifugal", "supported by a centrifugal left pump",
                                      PERSON_SUPPORTED_AXIAL, CENTRIFUGAL, COUNT(CENTRIFUGAL)},
    [PERSON_SUPPORTED_RV_FAILURE] = {"supported_rv_failure",
                                     "supported by an axial left pump, ventilated, right ventricle failing",
                                     PERSON_SUPPORTED_AXIAL, RV_FAILURE, COUNT(RV_FAILURE)},
};

const char *model_people_key(PersonId id) {
    assert((int)id >= 0 && id < PERSON_COUNT);
    return PEOPLE[id].key;
}

const char *model_people_text(PersonId id) {
    assert((int)id >= 0 && id < PERSON_COUNT);
    return PEOPLE[id].text;
}

PersonId model_people_find(const char *key) {
    for (int i = 0; i < PERSON_COUNT; i++)
        if (strcmp(PEOPLE[i].key, key) == 0) return (PersonId)i;
    return PERSON_COUNT;
}

Parameters model_people_parameters(PersonId id) {
    assert((int)id >= 0 && id < PERSON_COUNT);
    if (PEOPLE[id].base == PERSON_COUNT) return model_parameters_standard();
    Parameters parameters = model_people_parameters(PEOPLE[id].base);
    for (size_t i = 0; i < PEOPLE[id].count; i++) {
        const ErrorCode code =
            model_parameters_set(&parameters, PEOPLE[id].list[i].id, PEOPLE[id].list[i].value, NULL);
        assert(code == ERROR_OK);
        (void)code;
    }
    return parameters;
}
