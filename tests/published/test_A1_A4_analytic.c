/* A1 to A4 of the checks: parts of the circulation against closed forms.
   A1 windkessel decay, A2 one elastance chamber against a fixed afterload, A3 and A4 the pump alone. */
#include "model/people.h"
#include "model/units.h"
#include "tests/support/check_main.h"
#include "tests/support/second_integrator.h"

#include <math.h>
#include <string.h>

static void prepare(CirculationConstants *constants, CirculationState *state, const Parameters *parameters,
                    const BeatTiming *timing) {
    const Effects effects = model_effects_none();
    model_circulation_start(state, parameters);
    model_circulation_prepare(constants, parameters, &effects, state, timing);
}

static void hold_all(SecondSystem *system) {
    for (int i = 0; i < VARIABLE_COUNT; i++)
        system->held[i] = true;
}

/* A1. Two-element windkessel (textbook): with no inflow, pressure above the veins falls as exp(-t/RC). Here
   only the arteries may empty; both beds drain them in parallel against veins that are held. */
START_TEST(A1_arteries_without_inflow_decay_exponentially) {
    const Parameters p = model_people_parameters(PERSON_HEALTHY);
    const BeatTiming still = {.ticks = 100, .ventricular_ees_x = 1};
    CirculationConstants constants;
    CirculationState state;
    prepare(&constants, &state, &p, &still);
    SecondSystem system = {.constants = &constants};
    hold_all(&system);
    system.held[VARIABLE_ARTERY_ML] = false;
    state.y[VARIABLE_AORTA_ML_S] = 0.0;

    const Effects none = model_effects_none();
    const VesselConstants vessels = model_vessels_constants(&p, &none);
    const double c = p.artery_c_ml_mmhg;
    const double rs = vessels.splanchnic_r, ro = vessels.other_r;
    const double r = 1.0 / (1.0 / rs + 1.0 / ro);
    CirculationDrive drive;
    model_circulation_drive(&constants, 0.0, &drive);
    LungPressures lung;
    model_lung_pressures(&constants.lung, &drive.lung, state.y[VARIABLE_LUNG_ML], &lung, NULL);
    VesselFlows flows;
    model_vessels_flows(&vessels, &lung, state.y, 8.0, &flows, NULL);
    const double veins_mmhg =
        r * (flows.pressure[VESSEL_SPLANCHNIC] / rs + flows.pressure[VESSEL_OTHER] / ro);
    const double above_start = flows.pressure[VESSEL_ARTERY] - veins_mmhg;
    ck_assert_double_gt(above_start, 20.0);

    double t = 0.0;
    for (int i = 1; i <= 4; i++) {
        ck_assert(second_run(&system, t, 0.25 * i, 1e-11, state.y));
        t = 0.25 * i;
        model_vessels_flows(&vessels, &lung, state.y, 8.0, &flows, NULL);
        const double measured = (flows.pressure[VESSEL_ARTERY] - veins_mmhg) / above_start;
        ck_assert_double_eq_tol(measured, exp(-t / (r * c)), 1e-6);
    }
}
END_TEST

/* A2. Sunagawa et al., Am J Physiol 1983;245:H773: SV = Ees (EDV - V0) / (Ees + Ea), Ea = end-systolic
   pressure / SV. The left ventricle alone ejects into an aorta of constant pressure; 5 % allowed for the inertia
   of the ejected blood. */
START_TEST(A2_ventricle_against_fixed_afterload_follows_elastances) {
    const double afterload_ml[] = {90.0, 110.0, 130.0};
    for (int i = 0; i < 3; i++) {
        Parameters p = model_people_parameters(PERSON_HEALTHY);
        Error error;
        ck_assert_int_eq(model_parameters_set(&p, PARAMETER_pericardium_a_mmhg, 0.0, &error), ERROR_OK);
        BeatTiming beat = {.ticks = 100, .ventricular_ees_x = 1};
        beat.ventricular[1] = (Activation){.onset_s = 0, .log_scale = 0, .strength = 1};
        CirculationConstants constants;
        CirculationState state;
        prepare(&constants, &state, &p, &beat);
        SecondSystem system = {.constants = &constants};
        hold_all(&system);
        system.held[VARIABLE_LV_ML] = system.held[VARIABLE_AORTIC_ML_S] = system.held[VARIABLE_AORTIC_OPEN] = false;
        double *y = state.y;
        y[VARIABLE_MITRAL_ML_S] = y[VARIABLE_MITRAL_OPEN] = 0.0;
        y[VARIABLE_SEPTUM_ML] = 0.0;
        y[VARIABLE_LV_ML] = 130.0;
        y[VARIABLE_AORTA_ML] = afterload_ml[i];
        const double edv = y[VARIABLE_LV_ML];
        double smallest = edv;
        for (double t = 0.0; t < 0.40; t += 0.01) {
            ck_assert(second_run(&system, t, t + 0.01, 1e-9, y));
            smallest = fmin(smallest, y[VARIABLE_LV_ML]);
        }
        const double sv = edv - smallest;
        const Effects none = model_effects_none();
        const VesselConstants vessels = model_vessels_constants(&p, &none);
        CirculationDrive drive;
        model_circulation_drive(&constants, 0.0, &drive);
        LungPressures lung;
        model_lung_pressures(&constants.lung, &drive.lung, y[VARIABLE_LUNG_ML], &lung, NULL);
        VesselFlows flows;
        model_vessels_flows(&vessels, &lung, y, 8.0, &flows, NULL);
        const double end_systolic_mmhg = flows.pressure[VESSEL_AORTA] - lung.mediastinum_mmhg;
        const double ea = end_systolic_mmhg / sv;
        const double expected = p.lv_ees_mmhg_ml * (edv - p.lv_vd_ml) / (p.lv_ees_mmhg_ml + ea);
        ck_assert_double_gt(sv, 20.0);
        ck_assert_double_eq_tol(sv / expected, 1.0, 0.05);
    }
}
END_TEST

static PumpConstants pump_without_stop_term(PersonId person) {
    const Parameters p = model_people_parameters(person);
    PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1.0);
    pump.stop_k = 0.0;
    return pump;
}

/* A3. At zero flow the head is the shut-off curve a w^2 (the pump law itself). */
START_TEST(A3_pump_at_zero_flow_gives_shutoff_head) {
    const PersonId people[] = {PERSON_SUPPORTED_AXIAL, PERSON_SUPPORTED_CENTRIFUGAL};
    for (int i = 0; i < 2; i++) {
        const Parameters p = model_people_parameters(people[i]);
        const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1.0);
        for (double krpm = 1.0; krpm <= 12.0; krpm += 0.5) {
            const PumpDrive drive = model_pump_drive(&pump, krpm);
            ck_assert_double_eq_tol(model_pump_head_mmhg(&drive, 0.0),
                                    pump.viscosity_head_x * p.left_pump_a_mmhg_krpm2 * krpm * krpm, 1e-9);
        }
    }
}
END_TEST

/* A4. Affinity laws (textbook of turbomachinery): at k times the speed, k times the flow meets k^2 the head. */
START_TEST(A4_pump_scaled_speed_follows_affinity_laws) {
    const PersonId people[] = {PERSON_SUPPORTED_AXIAL, PERSON_SUPPORTED_CENTRIFUGAL};
    for (int i = 0; i < 2; i++) {
        const PumpConstants pump = pump_without_stop_term(people[i]);
        const double krpm = people[i] == PERSON_SUPPORTED_AXIAL ? 8.0 : 2.4;
        const PumpDrive base = model_pump_drive(&pump, krpm);
        for (double k = 0.5; k <= 1.5; k += 0.1) {
            const PumpDrive scaled = model_pump_drive(&pump, k * krpm);
            for (double flow = -20.0; flow <= 150.0; flow += 10.0)
                ck_assert_double_eq_tol(model_pump_head_mmhg(&scaled, k * flow),
                                        k * k * model_pump_head_mmhg(&base, flow), 1e-9);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("A1-A4 analytic");
    TCase *c = tcase_create("closed forms");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, A1_arteries_without_inflow_decay_exponentially);
    tcase_add_test(c, A2_ventricle_against_fixed_afterload_follows_elastances);
    tcase_add_test(c, A3_pump_at_zero_flow_gives_shutoff_head);
    tcase_add_test(c, A4_pump_scaled_speed_follows_affinity_laws);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
