/* The facade: steady start for every kind of person, settling, bookkeeping of the volume changes, causes and
 * effects. */
#include "model/slow.h"
#include "tests/support/check_main.h"

#include <math.h>

static BeatMeans means_of(double aorta_mmhg, double cvp_mmhg, double l_min) {
    const BeatMeans means = {
        .dt_s = 0.8,
        .aorta_mmhg = aorta_mmhg,
        .artery_pulse_mmhg = 12.0,
        .cvp_mmhg = cvp_mmhg,
        .wedge_mmhg = 10.0,
        .abdomen_mmhg = 4.0,
        .systemic_ml_s = l_min * 1000.0 / 60.0,
        .splanchnic_ml_s = 0.28 * l_min * 1000.0 / 60.0,
        .blood_ml = 5200.0,
        .rr_s = 0.8,
    };
    return means;
}

static void settle(SlowState *slow, const Parameters *parameters, const BeatMeans *means) {
    VolumeChanges changes;
    Observables observables;
    for (int i = 0; i < 300; i++) {
        model_slow_advance(slow, parameters, means, true, &changes, &observables);
    }
    model_reflex_neutralise(&slow->reflex, means->aorta_mmhg);
}

START_TEST(slow_frozen_moves_no_blood) {
    Parameters parameters = model_parameters_standard();
    parameters.crystalloid_ml_min = 100.0;
    parameters.bleed_hidden_ml_h = 500.0;
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const double before = slow.fluids.plasma_ml;
    const BeatMeans means = means_of(80.0, 8.0, 4.9);
    VolumeChanges changes;
    Observables observables;
    model_slow_advance(&slow, &parameters, &means, true, &changes, &observables);
    ck_assert_double_eq_tol(changes.splanchnic_ml, 0.0, 1e-15);
    ck_assert_double_eq_tol(changes.other_veins_ml, 0.0, 1e-15);
    ck_assert_double_eq_tol(changes.cava_ml, 0.0, 1e-15);
    ck_assert_double_eq_tol(changes.pericardium_free_ml, 0.0, 1e-15);
    ck_assert_double_eq_tol(slow.fluids.plasma_ml, before, 1e-15);
}
END_TEST

/* Healthy, failing, supported, supported with a failing right ventricle: pressure, CVP, flow, haematocrit. */
START_TEST(slow_settled_person_does_not_drift_when_intake_matches_loss) {
    const double people[][4] = {
        {90.0, 4.0, 5.1, 0.42}, {73.0, 11.9, 3.5, 0.38}, {79.0, 8.0, 4.9, 0.38}, {67.0, 16.6, 3.6, 0.38}};
    for (int i = 0; i < 4; i++) {
        Parameters parameters = model_parameters_standard();
        parameters.hct_start_frac = people[i][3];
        parameters.milrinone_mcg_kg_min = i == 3 ? 0.375 : 0.0;
        parameters.norepinephrine_mcg_kg_min = i == 3 ? 0.05 : 0.0;
        SlowState slow;
        model_slow_start(&slow, &parameters);
        const BeatMeans means = means_of(people[i][0], people[i][1], people[i][2]);
        settle(&slow, &parameters, &means);
        parameters.maintenance_ml_h = parameters.insensible_ml_h + slow.kidney.urine_ml_s * 3600.0;
        Effects before, after;
        model_slow_effects(&slow, &parameters, &before);
        const SlowState start = slow;
        VolumeChanges changes;
        Observables observables;
        for (int beat = 0; beat < 4500; beat++) {
            model_slow_advance(&slow, &parameters, &means, false, &changes, &observables);
        }
        model_slow_effects(&slow, &parameters, &after);
        ck_assert_double_eq_tol(slow.fluids.plasma_ml, start.fluids.plasma_ml, 0.05);
        ck_assert_double_eq_tol(slow.oxygen.lactate_mmol_l, start.oxygen.lactate_mmol_l, 1e-3);
        ck_assert_double_eq_tol(slow.oxygen.svo2_frac, start.oxygen.svo2_frac, 1e-4);
        ck_assert_double_eq_tol(slow.kidney.urine_ml_s, start.kidney.urine_ml_s,
                                1e-4 * start.kidney.urine_ml_s);
        ck_assert_double_eq_tol(after.lv_ees_x, before.lv_ees_x, 1e-6);
        ck_assert_double_eq_tol(after.svr_x, before.svr_x, 1e-6);
        ck_assert_double_eq_tol(after.pvr_x, before.pvr_x, 1e-4);
        ck_assert_double_eq_tol(after.reflex_svr_x, 1.0, 1e-6);
    }
}
END_TEST

START_TEST(slow_volume_changes_add_up_to_the_ledger) {
    Parameters parameters = model_parameters_standard();
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const BeatMeans means = means_of(80.0, 8.0, 4.9);
    settle(&slow, &parameters, &means);
    parameters.red_cells_ml_min = 20.0;
    parameters.bleed_drain_ml_h = 400.0;
    parameters.bleed_pericardium_ml_h = 100.0;
    parameters.bleed_clot_ra_ml_h = 60.0;
    parameters.drain_patency_frac = 0.5;
    const double start = slow.fluids.plasma_ml + slow.fluids.red_cells_ml;
    double blood = start, pericardium = 0.0, clot = 0.0;
    VolumeChanges changes;
    Observables observables;
    for (int beat = 0; beat < 3000; beat++) {
        model_slow_advance(&slow, &parameters, &means, false, &changes, &observables);
        const double sum = changes.splanchnic_ml + changes.other_veins_ml + changes.cava_ml;
        ck_assert_double_eq_tol(changes.splanchnic_ml, 0.50 * sum, 1e-12);
        ck_assert_double_eq_tol(changes.other_veins_ml, 0.35 * sum, 1e-12);
        blood += sum;
        pericardium += changes.pericardium_free_ml;
        clot += changes.clot_ra_ml;
    }
    ck_assert_double_eq_tol(blood / (slow.fluids.plasma_ml + slow.fluids.red_cells_ml), 1.0, 1e-11);
    ck_assert_double_eq_tol(pericardium, slow.fluids.pericardium_ml, 1e-9);
    ck_assert_double_eq_tol(clot, slow.fluids.clot_ra_ml, 1e-9);
    ck_assert_double_eq_tol(clot, 60.0 * 3000.0 * 0.8 / 3600.0, 1e-6);
    ck_assert_double_eq_tol(observables.drain_total_ml, slow.fluids.bottle_ml, 1e-12);
    ck_assert_double_gt(observables.hct_frac, parameters.hct_start_frac);
}
END_TEST

START_TEST(slow_copied_state_repeats_itself_bit_for_bit) {
    Parameters parameters = model_parameters_standard();
    parameters.dobutamine_mcg_kg_min = 4.0;
    parameters.bleed_drain_ml_h = 120.0;
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const BeatMeans means = means_of(71.0, 12.0, 3.9);
    VolumeChanges changes;
    Observables observables;
    for (int beat = 0; beat < 100; beat++) {
        model_slow_advance(&slow, &parameters, &means, false, &changes, &observables);
    }
    SlowState copy = slow;
    VolumeChanges other;
    for (int beat = 0; beat < 100; beat++) {
        model_slow_advance(&slow, &parameters, &means, false, &changes, &observables);
        model_slow_advance(&copy, &parameters, &means, false, &other, &observables);
    }
    ck_assert_mem_eq(&slow, &copy, sizeof slow);
    ck_assert_mem_eq(&changes, &other, sizeof changes);
}
END_TEST

START_TEST(slow_effects_of_a_rested_healthy_adult_are_none) {
    const Parameters parameters = model_parameters_standard();
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const BeatMeans means = means_of(90.0, 4.0, 5.1);
    settle(&slow, &parameters, &means);
    Effects effects;
    model_slow_effects(&slow, &parameters, &effects);
    ck_assert_double_eq_tol(effects.pvr_x, 1.0, 0.005);
    ck_assert_double_eq_tol(effects.svr_x, 1.0, 1e-12);
    ck_assert_double_eq_tol(effects.viscosity_x, 1.0, 1e-9);
    ck_assert_double_eq_tol(effects.reflex_svr_x, 1.0, 1e-9);
    ck_assert_double_eq_tol(effects.unstressed_ml, 0.0, 1e-12);
}
END_TEST

START_TEST(slow_low_output_shows_in_every_organ) {
    const Parameters parameters = model_parameters_standard();
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const BeatMeans good = means_of(79.0, 8.0, 4.9), bad = means_of(56.0, 18.0, 2.4);
    settle(&slow, &parameters, &good);
    VolumeChanges changes;
    Observables before, after;
    model_slow_advance(&slow, &parameters, &good, false, &changes, &before);
    for (int beat = 0; beat < 2250; beat++) {
        model_slow_advance(&slow, &parameters, &bad, false, &changes, &after);
    }
    ck_assert_double_lt(after.svo2_frac, before.svo2_frac - 0.15);
    ck_assert_double_gt(after.lactate_mmol_l, before.lactate_mmol_l + 0.5);
    ck_assert_double_lt(after.urine_ml_h, 0.3 * before.urine_ml_h);
    ck_assert_double_lt(after.ph, before.ph);
    Effects effects;
    model_slow_effects(&slow, &parameters, &effects);
    ck_assert_double_gt(effects.reflex_svr_x, 1.1);
    ck_assert_double_lt(effects.reflex_period_s, -0.05);
}
END_TEST

START_TEST(slow_state_with_a_hole_is_not_sound) {
    const Parameters parameters = model_parameters_standard();
    SlowState slow;
    model_slow_start(&slow, &parameters);
    ck_assert(model_slow_is_sound(&slow));
    SlowState broken = slow;
    broken.drugs.level[DRUG_vasopressin].line[3] = NAN;
    ck_assert(!model_slow_is_sound(&broken));
    broken = slow;
    broken.fluids.plasma_ml = -1.0;
    ck_assert(!model_slow_is_sound(&broken));
}
END_TEST

/* Every parameter of the slow organs at either end of its range, and all kinds of flow: nothing may leave the
 * possible. */
START_TEST(slow_at_the_ends_of_every_range_stays_sound) {
    const double l_min[] = {0.0, 1.0, 12.0}, mmhg[] = {0.0, 40.0, 150.0}, cvp[] = {-5.0, 10.0, 35.0};
    for (int id = 0; id < PARAMETER_COUNT; id++) {
        for (int end = 0; end < 2; end++) {
            Parameters parameters = model_parameters_standard();
            const ParameterRow *row = model_parameters_row((ParameterId)id);
            ck_assert_int_eq(
                model_parameters_set(&parameters, (ParameterId)id, end ? row->high : row->low, NULL),
                ERROR_OK);
            SlowState slow;
            model_slow_start(&slow, &parameters);
            for (int flow = 0; flow < 3; flow++) {
                const BeatMeans means = means_of(mmhg[flow], cvp[flow], l_min[flow]);
                VolumeChanges changes;
                Observables observables;
                Effects effects;
                for (int beat = 0; beat < 200; beat++) {
                    model_slow_advance(&slow, &parameters, &means, false, &changes, &observables);
                }
                model_slow_effects(&slow, &parameters, &effects);
                ck_assert_msg(model_slow_is_sound(&slow), "%s = %g", row->key, end ? row->high : row->low);
                ck_assert_msg(isfinite(effects.svr_x * effects.pvr_x * effects.lv_ees_x * effects.hr_x *
                                       effects.viscosity_x),
                              "%s = %g", row->key, end ? row->high : row->low);
                ck_assert(observables.svo2_frac >= 0.0 && observables.svo2_frac <= 1.0);
                ck_assert(observables.sao2_frac >= 0.0 && observables.sao2_frac <= 1.0);
                ck_assert(observables.urine_ml_h >= 0.0 && observables.drain_ml_h >= 0.0);
            }
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("slow");
    TCase *tests = tcase_create("slow");
    tcase_add_test(tests, slow_frozen_moves_no_blood);
    tcase_add_test(tests, slow_settled_person_does_not_drift_when_intake_matches_loss);
    tcase_add_test(tests, slow_volume_changes_add_up_to_the_ledger);
    tcase_add_test(tests, slow_copied_state_repeats_itself_bit_for_bit);
    tcase_add_test(tests, slow_effects_of_a_rested_healthy_adult_are_none);
    tcase_add_test(tests, slow_low_output_shows_in_every_organ);
    tcase_add_test(tests, slow_state_with_a_hole_is_not_sound);
    tcase_add_test(tests, slow_at_the_ends_of_every_range_stays_sound);
    tcase_set_timeout(tests, 60.0);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
