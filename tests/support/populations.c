/* Populations of the published studies as overrides of a base patient. */
#include "tests/support/populations.h"

#include "model/people.h"

#include <stddef.h>

typedef struct Override {
    ParameterId id;
    double value;
} Override;

#define SET(key, value)                                                                                      \
    { PARAMETER_##key, (value) }
/* Stiff after the operation or ischaemia (exponent of 0.027 with diastolic dysfunction: Cardiol Res Pract
   2011;692862); the right ventricle without dead volume. */
#define STIFF_HEART                                                                                          \
    SET(lv_alpha_mmhg, 0.87), SET(lv_v0_ml, 14.8), SET(rv_alpha_mmhg, 0.6), SET(rv_beta_per_ml, 0.01937),    \
        SET(rv_v0_ml, 10.8), SET(rv_vd_ml, 8)
#define LIST(list) list, sizeof(list) / sizeof((list)[0])

/* Severe heart failure: the heart's own reflex is weak (rate -2 to 0 % while nitroprusside lowers MAP by 15).
 */
static const Override HEART_FAILURE[] = {
    SET(reflex_gain, 0.3),
    SET(reflex_heart_gain, 0.2),
    SET(milrinone_response_lv_frac, 0.6),
};

/* Vasoconstricted: MAP 90-97, CI 1.7-1.9, wedge 27-28 (Monrad, Circulation 1986; Franciosa; Akhtar 1975). */
static const Override CONSTRICTED[] = {
    SET(systemic_resistance_x, 1.3),
    SET(lv_ees_mmhg_ml, 0.72),
};

/* Compensated on treatment: right atrium 4, wedge 16, CI 2.3, SVR 1500 (Faggiano, Cardiology 1994). */
static const Override COMPENSATED[] = {
    SET(blood_volume_ml, 5450), SET(lv_ees_mmhg_ml, 0.80),        SET(lv_v0_ml, 115),
    SET(abdomen_mmhg, 2),       SET(pulmonary_resistance_x, 0.7),
};

/* Uncomplicated coronary surgery, good ventricle: wedge about 9, mean PA about 19 (Viitanen 1990;73:393). */
static const Override CORONARY[] = {
    SET(lv_ees_mmhg_ml, 2.8),        SET(lv_beta_per_ml, 0.0296), SET(la_beta_per_ml, 0.055),
    SET(systemic_resistance_x, 1.0), SET(blood_volume_ml, 4950),  SET(pulmonary_resistance_x, 1.9),
    SET(rv_ees_mmhg_ml, 0.40),
};

/* Pulmonary hypertension after surgery: mean PA above 30 (Sablotzki, Can J Anesth 2005;52:1076). */
static const Override PULMONARY_HYPERTENSION[] = {
    SET(pulmonary_resistance_x, 3.0),
    SET(rv_ees_mmhg_ml, 0.45),
};

/* 22 patients after open heart surgery: CI 2.54, rate 88, MAP 92, left atrium 15.9 (the study of T6); CI 2.8
   in 52 after coronary surgery (Butterworth 1992). Anaemic, warm, lightly sedated, on the ventilator. */
static const Override POST_OPERATIVE[] = {
    STIFF_HEART,
    SET(hct_start_frac, 0.30),
    SET(sinus_rate_per_min, 88),
    SET(lv_ees_mmhg_ml, 1.8),
    SET(lv_beta_per_ml, 0.034),
    SET(la_beta_per_ml, 0.06),
    SET(rv_ees_mmhg_ml, 0.33),
    SET(systemic_resistance_x, 1.2),
    SET(blood_volume_ml, 5450),
    SET(ventilated, 1),
    SET(effort_mmhg, 0),
    SET(peep_cmh2o, 5),
    SET(driving_cmh2o, 10),
    SET(fio2_frac, 0.5),
    SET(shunt_frac, 0.10),
    SET(abdomen_mmhg, 4),
    SET(sedation_frac, 0.3),
    SET(reflex_gain, 0.6),
    SET(reflex_heart_gain, 0.6),
    SET(beta_response_lv_frac, 0.8),
    SET(beta_response_rv_frac, 0.8),
    SET(epinephrine_hr_x, 0.4),
    SET(epinephrine_svr_x, 0.8),
    SET(dobutamine_svr_x, 0.7),
};

/* 120 patients just off bypass: CI 1.7, MAP 60-67 (Feneck, J Cardiothorac Vasc Anesth 2001;15:306). */
static const Override LOW_OUTPUT[] = {
    SET(epinephrine_svr_x, 0.5),     SET(lv_ees_mmhg_ml, 1.2),        SET(lv_vd_ml, 16),
    SET(rv_ees_mmhg_ml, 0.24),       SET(systemic_resistance_x, 1.1), SET(sinus_rate_per_min, 82),
    SET(beta_response_lv_frac, 0.7), SET(beta_response_rv_frac, 0.7), SET(dobutamine_svr_x, 0.5),
    SET(reflex_gain, 0.4),           SET(reflex_heart_gain, 0.4),     SET(sedation_frac, 0.5),
};

/* Swollen heart in a closed chest: CI 1.7 (28 of 33 opened, Calafiore, Thorac Cardiovasc Surg 2017). */
static const Override TIGHT_CHEST[] = {
    SET(pericardium_v0_ml, 120),
    SET(pericardium_lambda_per_ml, 0.035),
    SET(reflex_gain, 0.3),
    SET(reflex_heart_gain, 0.3),
};

/* 18 patients in septic shock: MAP 62 with a normal or high output (Crit Care Med 1993;21:70). */
static const Override VASODILATED[] = {
    SET(epinephrine_svr_x, 0.5), SET(systemic_resistance_x, 0.6),
    SET(lv_ees_mmhg_ml, 2.0),    SET(sinus_rate_per_min, 100),
    SET(alpha_ec50_x, 2),        SET(reflex_gain, 0.4),
};

/* Preload-dependent anaesthesia: pulse pressure variation about 20 % (Kalmar 2018, PMC6209056). */
static const Override ANAESTHETISED[] = {
    SET(sedation_frac, 0.8),   SET(ventilated, 1),         SET(effort_mmhg, 0),
    SET(peep_cmh2o, 5),        SET(driving_cmh2o, 9),      SET(systemic_resistance_x, 1.3),
    SET(hct_start_frac, 0.36), SET(blood_volume_ml, 4100), SET(sinus_rate_per_min, 66),
    SET(fio2_frac, 0.5),
};

/* Days after transplantation: rate 82-110, output 4-7.2, right atrium 9-21, wedge 13-25 (PMID 3112344). */
static const Override TRANSPLANT[] = {
    STIFF_HEART,
    SET(sinus_rate_per_min, 95),
    SET(reflex_heart_gain, 0),
    SET(circulating_catecholamine_gain, 1),
    SET(epinephrine_level_x, 3),
    SET(norepinephrine_level_x, 2),
    SET(isoprenaline_hr_x, 2.2),
    SET(lv_ees_mmhg_ml, 2.0),
    SET(lv_beta_per_ml, 0.036),
    SET(rv_ees_mmhg_ml, 0.30),
    SET(rv_beta_per_ml, 0.024),
    SET(pulmonary_resistance_x, 2.1),
    SET(systemic_resistance_x, 1.1),
    SET(blood_volume_ml, 6000),
    SET(hct_start_frac, 0.32),
    SET(reflex_gain, 0.5),
    SET(abdomen_mmhg, 5),
    SET(pericardium_v0_ml, 600),
    SET(epinephrine_svr_x, 0.5),
};

/* Vasodilatory shock on a pump: SVR 813 dyn s/cm5, MAP 57 (Argenziano, Circulation 1997;96 Suppl II-286). */
static const Override PUMP_VASOPLEGIA[] = {
    SET(systemic_resistance_x, 0.5),
    SET(alpha_ec50_x, 4),
    SET(alpha_emax_x, 0.7),
    SET(methylene_blue_svr_x, 1),
    SET(norepinephrine_mcg_kg_min, 0.14),
};

static const struct {
    PersonId base;
    PopulationId on_top_of; /* POPULATION_COUNT: none */
    const Override *list;
    size_t count;
} POPULATIONS[POPULATION_COUNT] = {
    [POPULATION_VOLUNTEER] = {PERSON_HEALTHY, POPULATION_COUNT, NULL, 0},
    [POPULATION_HEART_FAILURE] = {PERSON_DILATED_FAILURE, POPULATION_COUNT, LIST(HEART_FAILURE)},
    [POPULATION_CONSTRICTED_FAILURE] = {PERSON_DILATED_FAILURE, POPULATION_HEART_FAILURE, LIST(CONSTRICTED)},
    [POPULATION_COMPENSATED_FAILURE] = {PERSON_DILATED_FAILURE, POPULATION_HEART_FAILURE, LIST(COMPENSATED)},
    [POPULATION_CORONARY] = {PERSON_HEALTHY, POPULATION_POST_OPERATIVE, LIST(CORONARY)},
    [POPULATION_PULMONARY_HYPERTENSION] = {PERSON_HEALTHY, POPULATION_POST_OPERATIVE,
                                           LIST(PULMONARY_HYPERTENSION)},
    [POPULATION_POST_OPERATIVE] = {PERSON_HEALTHY, POPULATION_COUNT, LIST(POST_OPERATIVE)},
    [POPULATION_LOW_OUTPUT] = {PERSON_HEALTHY, POPULATION_POST_OPERATIVE, LIST(LOW_OUTPUT)},
    [POPULATION_TIGHT_CHEST] = {PERSON_HEALTHY, POPULATION_POST_OPERATIVE, LIST(TIGHT_CHEST)},
    [POPULATION_VASODILATED] = {PERSON_HEALTHY, POPULATION_POST_OPERATIVE, LIST(VASODILATED)},
    [POPULATION_ANAESTHETISED] = {PERSON_HEALTHY, POPULATION_COUNT, LIST(ANAESTHETISED)},
    [POPULATION_TRANSPLANT] = {PERSON_HEALTHY, POPULATION_COUNT, LIST(TRANSPLANT)},
    [POPULATION_PUMP] = {PERSON_SUPPORTED_AXIAL, POPULATION_COUNT, NULL, 0},
    [POPULATION_PUMP_VASOPLEGIA] = {PERSON_SUPPORTED_AXIAL, POPULATION_COUNT, LIST(PUMP_VASOPLEGIA)},
    [POPULATION_PUMP_RIGHT_FAILURE] = {PERSON_SUPPORTED_RV_FAILURE, POPULATION_COUNT, NULL, 0},
};

Parameters populations_parameters(PopulationId id) {
    const PopulationId below = POPULATIONS[id].on_top_of;
    Parameters parameters = below == POPULATION_COUNT ? model_people_parameters(POPULATIONS[id].base)
                                                      : populations_parameters(below);
    for (size_t i = 0; i < POPULATIONS[id].count; i++) {
        const Override *one = &POPULATIONS[id].list[i];
        /* a value out of range would leave the base's: the checks on the start values would show it */
        (void)!model_parameters_set(&parameters, one->id, one->value, NULL);
    }
    return parameters;
}
