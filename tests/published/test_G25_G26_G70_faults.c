/* G25, G26, G70: an obstructed graft, a thrombus on the rotor, a narrowed graft. */
#include "tests/support/haemodynamics.h"

#include "model/pump.h"
#include "model/units.h"

static const double PEAK_MMHG = 65;

#define AGRAWAL "Agrawal, ESC Heart Fail 2021;8:2349-53"

/* Peak pressure lost in cannula and graft, mmHg, as ultrasound reads a peak gradient. */
static double gradient_mmhg(const Patient *patient, const Observables *o) {
    const Parameters *p = model_patient_parameters(patient);
    const double flow_ml_s = o->pump_flow_max_l_min * UNITS_ML_S_PER_L_MIN;
    return (p->left_pump_inlet_r_mmhg_s_ml + p->left_pump_graft_r_mmhg_s_ml) * flow_ml_s +
           p->left_pump_inlet_b_mmhg_s2_ml2 * flow_ml_s * flow_ml_s;
}

START_TEST(G25_outflow_obstruction) {
    Patient *patient = haemo_person("supported_centrifugal", NULL, 0);
    const Observables before = haemo_run(patient, 60.0);
    /* the kink is tightened until the peak gradient lies in the published range (78, quartiles 64 to 100) */
    Observables after = before;
    for (double r = 0.2; r < 6.0 && gradient_mmhg(patient, &after) < PEAK_MMHG; r += 0.05) {
        closed_loop_set(patient, PARAMETER_left_pump_graft_r_mmhg_s_ml, r);
        after = haemo_run(patient, 60.0);
    }
    published_begin("G25", "outflow obstruction tightened to a significant gradient, then relieved", "S",
                    AGRAWAL);
    published_between("peak gradient, mmHg", gradient_mmhg(patient, &after), 58, 100);
    published_between("pump flow, L/min", after.pump_flow_l_min - before.pump_flow_l_min, -2.9, -1.3);
    published_between("wedge rises, mmHg", after.wedge_mmhg - before.wedge_mmhg, 0.5, INFINITY);
    closed_loop_set(patient, PARAMETER_left_pump_graft_r_mmhg_s_ml, 0);
    const Observables relieved = haemo_run(patient, 180.0);
    published_between("peak gradient when relieved, mmHg", gradient_mmhg(patient, &relieved), 2, 20);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(G26_rotor_thrombus) {
    Patient *patient = haemo_person("supported_centrifugal", NULL, 0);
    const Observables before = haemo_run(patient, 60.0);
    closed_loop_set(patient, PARAMETER_left_pump_thrombus_frac, 1.0);
    const Observables after = haemo_run(patient, 180.0);
    published_begin("G26", "rotor thrombus, centrifugal pump (17 episodes)", "S", "Braz J Cardiovasc Surg");
    published_between("power, W", after.pump_power_w - before.pump_power_w, 1, 2);
    published_between("shown flow, times", after.pump_flow_shown_l_min / before.pump_flow_shown_l_min, 2,
                      INFINITY);
    published_between("true flow falls, L/min", after.pump_flow_l_min - before.pump_flow_l_min, -INFINITY,
                      -0.05);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(G70_narrowed_graft) {
    Parameters parameters = haemo_parameters("supported_centrifugal", NULL, 0);
    const double clean = model_pump_constants(&parameters, PUMP_LEFT, 1.0).quadratic;
    parameters.left_pump_graft_narrow_frac = 0.61;
    const double narrow = model_pump_constants(&parameters, PUMP_LEFT, 1.0).quadratic - clean;
    parameters.left_pump_graft_narrow_frac = 0.90;
    const double tight = model_pump_constants(&parameters, PUMP_LEFT, 1.0).quadratic - clean;
    const double four_ml_s = 4.0 * UNITS_ML_S_PER_L_MIN, six_ml_s = 6.0 * UNITS_ML_S_PER_L_MIN;
    published_begin("G70", "outflow graft narrowed by 61 % of its area", "S", "Ohlsson 2024, PMC11367968");
    published_between("gradient at 4 L/min, mmHg", narrow * four_ml_s * four_ml_s, 1, 9);
    published_between("gradient at 6 L/min, mmHg", narrow * six_ml_s * six_ml_s, 1, 9);
    published_between("climbs steeply: narrowed by 90 %, gradient at 4 L/min, mmHg",
                      tight * four_ml_s * four_ml_s, 30, INFINITY);
    /* and the patient feels the one, not the other */
    Patient *patient = haemo_person("supported_centrifugal", NULL, 0);
    const Observables before = haemo_run(patient, 60.0);
    closed_loop_set(patient, PARAMETER_left_pump_graft_narrow_frac, 0.61);
    const Observables mild = haemo_run(patient, 120.0);
    published_between("pump flow at 61 %, L/min", mild.pump_flow_l_min - before.pump_flow_l_min, -0.5, 0);
    model_patient_destroy(patient);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("G25, G26, G70 faults");
    TCase *c = tcase_create("rows");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, G25_outflow_obstruction);
    tcase_add_test(c, G26_rotor_thrombus);
    tcase_add_test(c, G70_narrowed_graft);
    suite_add_tcase(s, c);
    return s;
}

PUBLISHED_MAIN(suite)
