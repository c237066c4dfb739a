/* Body size: laws of scale on the parameters. */
#include "model/bodysize.h"
#include "model/people.h"
#include "model/pump.h"
#include "model/sizes.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(bodysize_scales_volumes_up_and_resistances_down) {
    const Parameters base = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Parameters p = base;
    model_bodysize_scale(&p, 55, 160, true);
    const double s = model_sizes_body_m2(55, 160) / model_sizes_body_m2(base.weight_kg, base.height_cm);
    ck_assert_double_eq_tol(p.blood_volume_ml, s * base.blood_volume_ml, 1e-9);
    ck_assert_double_eq_tol(p.lv_v0_ml, s * base.lv_v0_ml, 1e-9);
    ck_assert_double_eq_tol(p.lv_ees_mmhg_ml, base.lv_ees_mmhg_ml / s, 1e-9);
    ck_assert_double_eq_tol(p.pulmonary_r_mmhg_s_ml, base.pulmonary_r_mmhg_s_ml / s, 1e-9);
    /* time constants and pressures stay */
    ck_assert_double_eq_tol(p.artery_c_ml_mmhg * p.other_r_mmhg_s_ml,
                            base.artery_c_ml_mmhg * base.other_r_mmhg_s_ml, 1e-9);
    ck_assert_double_eq_tol(p.lv_alpha_mmhg, base.lv_alpha_mmhg, 1e-12);
    ck_assert_double_eq_tol(p.sex_female, 1, 1e-12);
}
END_TEST

START_TEST(bodysize_sets_the_speed_for_the_same_head) {
    const Parameters base = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Parameters p = base;
    model_bodysize_scale(&p, 55, 160, true);
    const double flow_ml_s = 2.6 * model_sizes_body_m2(base.weight_kg, base.height_cm) * 1000.0 / 60.0;
    const double s = model_sizes_body_m2(55, 160) / model_sizes_body_m2(base.weight_kg, base.height_cm);
    const PumpConstants one = model_pump_constants(&base, PUMP_LEFT, 1.0);
    const PumpConstants other = model_pump_constants(&p, PUMP_LEFT, 1.0);
    PumpDrive before = model_pump_drive(&one, base.left_pump_speed_rpm / 1000.0);
    PumpDrive after = model_pump_drive(&other, p.left_pump_speed_rpm / 1000.0);
    ck_assert_double_eq_tol(model_pump_head_mmhg(&after, s * flow_ml_s),
                            model_pump_head_mmhg(&before, flow_ml_s), 0.5);
    ck_assert_double_lt(p.left_pump_speed_rpm, base.left_pump_speed_rpm);
}
END_TEST

START_TEST(bodysize_there_and_back_is_the_same_body) {
    const Parameters base = model_people_parameters(PERSON_DILATED_FAILURE);
    Parameters p = base;
    model_bodysize_scale(&p, 60, 165, true);
    model_bodysize_scale(&p, base.weight_kg, base.height_cm, false);
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const double was = model_parameters_get(&base, (ParameterId)i);
        ck_assert_msg(fabs(model_parameters_get(&p, (ParameterId)i) - was) <= 1e-9 * fmax(1.0, fabs(was)),
                      "%s", model_parameters_row((ParameterId)i)->key);
    }
}
END_TEST

START_TEST(bodysize_keeps_extremes_in_range) {
    for (int i = 0; i < PERSON_COUNT; i++) {
        Parameters p = model_people_parameters((PersonId)i);
        model_bodysize_scale(&p, 120, 200, false);
        for (int k = 0; k < PARAMETER_COUNT; k++) {
            const ParameterRow *row = model_parameters_row((ParameterId)k);
            const double value = model_parameters_get(&p, (ParameterId)k);
            ck_assert_msg(value >= row->low && value <= row->high, "%s", row->key);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("body size");
    TCase *c = tcase_create("scale");
    tcase_add_test(c, bodysize_scales_volumes_up_and_resistances_down);
    tcase_add_test(c, bodysize_sets_the_speed_for_the_same_head);
    tcase_add_test(c, bodysize_there_and_back_is_the_same_body);
    tcase_add_test(c, bodysize_keeps_extremes_in_range);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
