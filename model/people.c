/* The base patients. Each later list adds to the one it builds on; the smaller body is scaled, not fitted. */
#include "model/people.h"

#include "model/bodysize.h"

#include <assert.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* One override of a default. */
typedef struct Override {
    ParameterId id;
    double value;
} Override;

#define SET(key, value)                                                                                      \
    { PARAMETER_##key, (value) }
#define LIST(list) list, sizeof(list) / sizeof((list)[0])

static const Override DILATED_FAILURE[] = {
    SET(lv_ees_mmhg_ml, 0.602),
    SET(lv_vd_ml, 60),
    SET(lv_beta_per_ml, 0.02196),
    SET(lv_v0_ml, 105),
    SET(rv_ees_mmhg_ml, 0.528),
    SET(rv_vd_ml, 70),
    SET(rv_beta_per_ml, 0.008),
    SET(rv_v0_ml, 63.4),
    SET(rv_homeometric_gain, 0), /* a failing right ventricle widens instead */
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
    SET(splanchnic_r_mmhg_s_ml, 3.312),
    SET(other_r_mmhg_s_ml, 1.46),
    SET(pa_c_ml_mmhg, 0.7),
    SET(lung_artery_c_ml_mmhg, 1.0),
    SET(pulmonary_vein_c_ml_mmhg, 9),
    SET(pulmonary_r_mmhg_s_ml, 0.151),
    SET(blood_volume_ml, 6215),
    SET(hct_start_frac, 0.38),
    SET(respiratory_rate_per_min, 18),
    SET(effort_mmhg, 6),
    SET(abdomen_mmhg, 5),
    SET(reflex_gain, 0.25),
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
    SET(lv_alpha_mmhg, 0.87),
    SET(rv_alpha_mmhg, 5.48),
    SET(clot_room_lv_ml, 250),
};

static const Override SUPPORTED[] = {
    SET(left_pump_present, 1),
    SET(left_pump_speed_rpm, 8370),
    SET(left_pump_suction_ml, 138),
    SET(left_pump_suction_septum, 0.7),
    SET(lv_ees_mmhg_ml, 0.66),
    SET(rv_ees_mmhg_ml, 0.45),
    SET(pericardium_lambda_per_ml, 0.03),
    SET(pericardium_v0_ml, 600),
    SET(splanchnic_r_mmhg_s_ml, 2.711),
    SET(other_r_mmhg_s_ml, 1.168),
    SET(pulmonary_r_mmhg_s_ml, 0.1002),
    SET(blood_volume_ml, 5720),
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
    SET(rv_ees_mmhg_ml, 0.45),
    SET(splanchnic_r_mmhg_s_ml, 2.711),
    /* shown against true flow of a centrifugal pump, bench in animals: 0.90 x + 1.55 */
    SET(left_pump_estimate_gain, 0.90),
    SET(left_pump_estimate_offset_l_min, 1.55),
};

static const Override RV_FAILURE[] = {
    SET(rv_ees_mmhg_ml, 0.167),
    SET(tricuspid_leak_gain_cm2_ml, 0.006),
    SET(tricuspid_leak_onset_ml, 170),
    SET(splanchnic_r_mmhg_s_ml, 2.667),
    SET(other_r_mmhg_s_ml, 1.167),
    SET(pulmonary_r_mmhg_s_ml, 0.1616),
    SET(blood_volume_ml, 6186),
    SET(ventilated, 1),
    SET(peep_cmh2o, 5),
    SET(driving_cmh2o, 12.2),
    SET(effort_mmhg, 0),
    SET(sinus_rate_per_min, 100),
    SET(left_pump_suction_ml, 133),
};

/* Worse still, on drips: cardiac index 2.0 +- 0.6, wedge 23 +- 9, right atrium 11 +- 5 mmHg on inotropes
   (PMC3913073). */
static const Override ON_INOTROPES[] = {
    SET(lv_ees_mmhg_ml, 0.48),        SET(rv_ees_mmhg_ml, 0.42),     SET(blood_volume_ml, 6460),
    SET(milrinone_mcg_kg_min, 0.375), SET(dobutamine_mcg_kg_min, 4), SET(norepinephrine_mcg_kg_min, 0.04),
};

/* Congested: resistance of 4 WU, right atrium 10 +- 4, PA 42/23 in the poorly coupled (PMC10947813). */
static const Override HIGH_PVR[] = {
    SET(left_pump_speed_rpm, 8000),
    SET(rv_ees_mmhg_ml, 0.45),
    SET(pulmonary_r_mmhg_s_ml, 0.223),
    SET(blood_volume_ml, 6360),
};

/* Both ventricles supported: right atrium to pulmonary artery on the right, set below the left pump. */
static const Override BIVENTRICULAR[] = {
    SET(rv_ees_mmhg_ml, 0.15),       SET(pulmonary_r_mmhg_s_ml, 0.12), SET(right_pump_present, 1),
    SET(right_pump_speed_rpm, 5700), SET(blood_volume_ml, 5960),
};

/* Fresh graft, day 1: MAP 96, right atrium 15, mean PA 30, wedge 19 mmHg, output 5.6 L/min (PMID 3112344):
   stiff after ischaemia, without nerves, in a volume-loaded body with a raised pulmonary resistance. */
static const Override FRESH_TRANSPLANT[] = {
    SET(sinus_rate_per_min, 95),  SET(reflex_gain, 0.35),
    SET(reflex_heart_gain, 0),    SET(circulating_catecholamine_gain, 1),
    SET(epinephrine_level_x, 3),  SET(norepinephrine_level_x, 2),
    SET(isoprenaline_hr_x, 1.9),  SET(epinephrine_svr_x, 0.5),
    SET(hct_start_frac, 0.32),    SET(abdomen_mmhg, 5),
    SET(pericardium_v0_ml, 600),  SET(lv_ees_mmhg_ml, 2.92), SET(lv_alpha_mmhg, 4.42),
    SET(lv_beta_per_ml, 0.02),    SET(lv_v0_ml, -0.3),
    SET(rv_ees_mmhg_ml, 0.676),   SET(rv_alpha_mmhg, 3.55),
    SET(rv_beta_per_ml, 0.014),   SET(rv_v0_ml, 19.8),     SET(rv_homeometric_gain, 0),
    SET(la_beta_per_ml, 0.045),   SET(splanchnic_r_mmhg_s_ml, 3.14),
    SET(other_r_mmhg_s_ml, 1.23), SET(pulmonary_r_mmhg_s_ml, 0.0855),
    SET(blood_volume_ml, 6340),
};

/* Graft dysfunction of the right side: right atrium above 15, wedge below 15, index below 2, transpulmonary
   gradient below 15 mmHg (Kobashigawa, J Heart Lung Transplant 2014;33:327, numbers from memory). */
static const Override TRANSPLANT_RIGHT[] = {
    SET(rv_ees_mmhg_ml, 0.324),        SET(tricuspid_leak_gain_cm2_ml, 0.006),
    SET(tricuspid_leak_onset_ml, 130), SET(splanchnic_r_mmhg_s_ml, 3.61),
    SET(other_r_mmhg_s_ml, 1.22),      SET(pulmonary_r_mmhg_s_ml, 0.162),
    SET(blood_volume_ml, 6505),
};

/* A person: one list, on top of another person, in either body size. */
static const struct {
    const char *key, *small_key, *text, *small_text;
    PersonId base;
    const Override *list;
    size_t count;
} PEOPLE[PERSON_BODY_COUNT] = {
#define PERSON(name, text) name, name "_small", text, text "; smaller body"
    [PERSON_HEALTHY] = {PERSON("healthy", "a healthy adult"), PERSON_COUNT, NULL, 0},
    [PERSON_DILATED_FAILURE] = {PERSON("dilated_failure", "end-stage dilated heart failure before support"),
                                PERSON_HEALTHY, LIST(DILATED_FAILURE)},
    [PERSON_SUPPORTED_AXIAL] = {PERSON("supported_axial",
                                       "supported by an axial left pump, right ventricle holding"),
                                PERSON_DILATED_FAILURE, LIST(SUPPORTED)},
    [PERSON_SUPPORTED_CENTRIFUGAL] = {PERSON("supported_centrifugal", "supported by a centrifugal left pump"),
                                      PERSON_SUPPORTED_AXIAL, LIST(CENTRIFUGAL)},
    [PERSON_SUPPORTED_RV_FAILURE] = {PERSON("supported_rv_failure",
                                            "supported by an axial left pump, ventilated, right ventricle "
                                            "failing"),
                                     PERSON_SUPPORTED_AXIAL, LIST(RV_FAILURE)},
    [PERSON_FAILING_ON_INOTROPES] = {PERSON("failing_on_inotropes",
                                            "end-stage heart failure held by inotropes"),
                                     PERSON_DILATED_FAILURE, LIST(ON_INOTROPES)},
    [PERSON_SUPPORTED_HIGH_PVR] = {PERSON("supported_high_pvr",
                                          "supported by an axial left pump, congested by a high pulmonary "
                                          "resistance"),
                                   PERSON_SUPPORTED_AXIAL, LIST(HIGH_PVR)},
    [PERSON_BIVENTRICULAR] = {PERSON("biventricular", "axial pumps on both sides"), PERSON_SUPPORTED_AXIAL,
                              LIST(BIVENTRICULAR)},
    [PERSON_FRESH_TRANSPLANT] = {PERSON("fresh_transplant", "a new heart on its first day"), PERSON_HEALTHY,
                                 LIST(FRESH_TRANSPLANT)},
    [PERSON_TRANSPLANT_RIGHT_DYSFUNCTION] = {PERSON("transplant_right_dysfunction",
                                                    "a new heart, its right ventricle failing"),
                                             PERSON_FRESH_TRANSPLANT, LIST(TRANSPLANT_RIGHT)},
#undef PERSON
};

#define SMALL_WEIGHT_KG 55.0 /* a small woman; surface 1.56 m2 against 1.91 */
#define SMALL_HEIGHT_CM 160.0

static bool is_small(PersonId id) {
    assert((int)id >= 0 && id < PERSON_COUNT);
    return (int)id >= PERSON_BODY_COUNT;
}

static PersonId body_of(PersonId id) {
    return is_small(id) ? (PersonId)((int)id - PERSON_BODY_COUNT) : id;
}

const char *model_people_key(PersonId id) {
    return is_small(id) ? PEOPLE[body_of(id)].small_key : PEOPLE[id].key;
}

const char *model_people_text(PersonId id) {
    return is_small(id) ? PEOPLE[body_of(id)].small_text : PEOPLE[id].text;
}

PersonId model_people_find(const char *key) {
    for (int i = 0; i < PERSON_COUNT; i++)
        if (strcmp(model_people_key((PersonId)i), key) == 0) return (PersonId)i;
    return PERSON_COUNT;
}

static Parameters large_body(PersonId id) {
    const PersonId base = PEOPLE[id].base;
    Parameters parameters = base == PERSON_COUNT ? model_parameters_standard() : large_body(base);
    for (size_t i = 0; i < PEOPLE[id].count; i++) {
        const Override *one = &PEOPLE[id].list[i];
        const ErrorCode code = model_parameters_set(&parameters, one->id, one->value, NULL);
        assert(code == ERROR_OK);
        (void)code;
    }
    return parameters;
}

Parameters model_people_parameters(PersonId id) {
    Parameters parameters = large_body(body_of(id));
    if (is_small(id)) model_bodysize_scale(&parameters, SMALL_WEIGHT_KG, SMALL_HEIGHT_CM, true);
    return parameters;
}
