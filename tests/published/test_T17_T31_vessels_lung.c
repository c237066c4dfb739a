/* T17 to T31: vasopressors by bolus, vasodilators, levosimendan, isoprenaline, the lung's vessels. */
#include "tests/support/published.h"
#include "tests/support/treatment.h"

/* Pulse pressure variation over half a minute, %: (largest - smallest) / mean. */
static double pulse_variation(Treatment *treatment) {
    double low = INFINITY, high = 0.0;
    const double end_s = model_patient_time_s(treatment->patient) + 30.0;
    while (model_patient_time_s(treatment->patient) < end_s) {
        const Observables beat = closed_loop_run(treatment->patient, 0.1, 0.1);
        const double pulse = beat.art_sys_mmhg - beat.art_dia_mmhg;
        low = fmin(low, pulse);
        high = fmax(high, pulse);
    }
    return 200.0 * (high - low) / (high + low);
}

START_TEST(T17) {
    Parameters parameters = populations_parameters(POPULATION_ANAESTHETISED);
    parameters.line_delay_s = 0.0; /* a bolus is pushed and flushed */
    Treatment dry = treatment_start_as(&parameters);
    const double variation_before = pulse_variation(&dry);
    Observables peak = treatment_give(&dry, PARAMETER_phenylephrine_mcg_kg_min, 12.0, 1.0 / 6.0);
    double highest_cvp = 0.0, least_variation = INFINITY;
    closed_loop_set(dry.patient, PARAMETER_phenylephrine_mcg_kg_min, 0.0);
    for (int i = 0; i < 5; i++) {
        const Observables now = treatment_wait(&dry, 0.5);
        if (now.art_mean_mmhg > peak.art_mean_mmhg) peak = now;
        least_variation = fmin(least_variation, pulse_variation(&dry));
        highest_cvp = fmax(highest_cvp, treatment_change(dry, now, cvp_mmhg));
    }
    published_begin("T17", "dry, anaesthetised: phenylephrine 2 mcg/kg at once", "C",
                    "Kalmar 2018, PMC6209056");
    published_between("MAP, mmHg", treatment_change(dry, peak, art_mean_mmhg), 25, 45);
    published_between("CVP, mmHg", highest_cvp, 1, 5);
    published_between("least pulse pressure variation by 5 min, share of that before",
                      least_variation / variation_before, -INFINITY, 0.5);
    treatment_end(&dry);
}
END_TEST

START_TEST(T19) {
    Treatment hf = treatment_start(POPULATION_HEART_FAILURE);
    const Observables after = treatment_give(&hf, PARAMETER_levosimendan_mcg_kg_min, 0.3, 360.0);
    const double stroke = closed_loop_percent(hf.before.systemic_flow_l_min / hf.before.hr_per_min,
                                              after.systemic_flow_l_min / after.hr_per_min);
    published_begin("T19", "heart failure: levosimendan 0.3 for 6 h", "C",
                    "Slawsky, Circulation 2000;102:2222, PMID 11056096");
    published_between("stroke volume, %", stroke, 20, 35);
    published_between("cardiac index, %", treatment_percent(hf, after, systemic_flow_l_min), 28, 45);
    published_between("rate, %", treatment_percent(hf, after, hr_per_min), -INFINITY, 12);
    treatment_end(&hf);
}
END_TEST

START_TEST(T20) {
    Treatment hf = treatment_start(POPULATION_COMPENSATED_FAILURE);
    const Observables low = treatment_give(&hf, PARAMETER_nitroglycerin_mcg_min, 10.0, 15.0);
    const Observables after = treatment_give(&hf, PARAMETER_nitroglycerin_mcg_min, 350.0, 15.0);
    published_begin("T20", "compensated heart failure: nitroglycerin 350 mcg/min", "C",
                    "Faggiano, Cardiology 1994, PMID 8087825");
    published_between("wedge, %", treatment_percent(hf, after, wedge_mmhg), -60, -45);
    published_between("right atrium, mmHg", treatment_change(hf, after, ra_mean_mmhg), -7, -4);
    published_between("SVR, %", treatment_percent(hf, after, svr_wu), -20, -5);
    published_between("cardiac index, %", treatment_percent(hf, after, systemic_flow_l_min), -6, 18);
    published_begin("T20", "the same at 10 mcg/min", "C", "Bayley, Intensive Care Med 1984;10:139");
    published_between("SVR, %", treatment_percent(hf, low, svr_wu), -2, 2);
    treatment_end(&hf);
}
END_TEST

START_TEST(T21) {
    Treatment hf = treatment_start(POPULATION_CONSTRICTED_FAILURE);
    const Observables after = treatment_give(&hf, PARAMETER_nitroprusside_mcg_kg_min, 1.5, 5.0);
    const Observables gone = treatment_give(&hf, PARAMETER_nitroprusside_mcg_kg_min, 0.0, 10.0);
    published_begin("T21", "vasoconstricted heart failure: nitroprusside 1.5, at 5 min", "C",
                    "Monrad, Circulation 1986");
    published_between("cardiac index, %", treatment_percent(hf, after, systemic_flow_l_min), 20, 45);
    published_between("wedge, %", treatment_percent(hf, after, wedge_mmhg), -38, -22);
    published_between("rate, %", treatment_percent(hf, after, hr_per_min), -5, 5);
    published_between("SVR lost that is back 10 min after stopping, %",
                      100.0 *
                          (1.0 - treatment_change(hf, gone, svr_wu) / treatment_change(hf, after, svr_wu)),
                      80, INFINITY);
    treatment_end(&hf);

    Parameters parameters = populations_parameters(POPULATION_HEART_FAILURE);
    parameters.systemic_resistance_x = 0.75; /* SVR about 1100 dyn s/cm5 */
    Treatment wide = treatment_start_as(&parameters);
    const Observables wider = treatment_give(&wide, PARAMETER_nitroprusside_mcg_kg_min, 1.5, 8.0);
    published_begin("T21", "heart failure with SVR below 1500: nitroprusside 1.5", "C",
                    "Br Heart J 1979;41:187");
    published_between("MAP, %", treatment_percent(wide, wider, art_mean_mmhg), -INFINITY, -20);
    published_known(
        "cardiac index, %", treatment_percent(wide, wider, systemic_flow_l_min), -INFINITY, 15,
        "a failing ventricle with a regurgitant mitral valve gains from any fall of resistance here; "
        "a population whose low resistance comes with a small regurgitation would gain less");
    treatment_end(&wide);
}
END_TEST

START_TEST(T22) {
    static const double FALL_MMHG = -20.0;
    Treatment hf = treatment_start(POPULATION_CONSTRICTED_FAILURE);
    Observables nicardipine = hf.before;
    for (double dose = 4.0; dose <= 40.0 && treatment_change(hf, nicardipine, art_mean_mmhg) > FALL_MMHG;
         dose += 2.0) {
        nicardipine = treatment_give(&hf, PARAMETER_nicardipine_mg_h, dose, 15.0);
    }
    Treatment other = treatment_start(POPULATION_CONSTRICTED_FAILURE);
    Observables nitroprusside = other.before;
    for (double dose = 1.0; dose <= 6.0 && treatment_change(other, nitroprusside, art_mean_mmhg) > FALL_MMHG;
         dose += 0.2) {
        nitroprusside = treatment_give(&other, PARAMETER_nitroprusside_mcg_kg_min, dose, 6.0);
    }
    published_begin("T22", "vasoconstricted heart failure: nicardipine until MAP -20 mmHg", "C",
                    "J Am Coll Cardiol about 1989 (15 patients)");
    published_between("MAP, mmHg", treatment_change(hf, nicardipine, art_mean_mmhg), -25, -18);
    published_between("cardiac index, %", treatment_percent(hf, nicardipine, systemic_flow_l_min), 25, 45);
    published_known(
        "fall of the wedge over that with nitroprusside at equal MAP",
        treatment_change(hf, nicardipine, wedge_mmhg) / treatment_change(other, nitroprusside, wedge_mmhg),
        -INFINITY, 0.5,
        "the regurgitant mitral valve leaks less at any lower resistance, which lowers the wedge with "
        "nicardipine too; a smaller regurgitation of this population would part the two");
    treatment_end(&hf);
    treatment_end(&other);
}
END_TEST

/* Minutes after `stop` until half of the change of MAP is gone. */
static double half_back_min(Treatment *treatment, const Observables *full, ParameterId drug) {
    const double half = 0.5 * (treatment->before.art_mean_mmhg + full->art_mean_mmhg);
    const double sign = full->art_mean_mmhg > half ? 1.0 : -1.0;
    const double step_min = 0.25;
    closed_loop_set(treatment->patient, drug, 0.0);
    double minutes = 0.0;
    for (Observables now = *full; minutes < 30.0 && sign * (now.art_mean_mmhg - half) > 0.0;
         minutes += step_min) {
        now = treatment_wait(treatment, step_min);
    }
    return minutes;
}

START_TEST(T23) {
    const Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    Treatment po = treatment_start_as(&parameters);
    const double mg_h = 1.4 * parameters.weight_kg * 60.0 / 1000.0; /* 1.4 mcg/kg/min */
    const Observables after = treatment_give(&po, PARAMETER_clevidipine_mg_h, mg_h, 6.0);
    published_begin("T23", "after surgery: clevidipine 1.4 mcg/kg/min, at 6 min", "C",
                    "Bailey, Anesthesiology 2002; Anesth Analg 2007/2008 trials");
    published_between("MAP, %", treatment_percent(po, after, art_mean_mmhg), -24, -14);
    published_between("half back after stopping, min", half_back_min(&po, &after, PARAMETER_clevidipine_mg_h),
                      -INFINITY, 3);
    treatment_end(&po);
}
END_TEST

START_TEST(T24) {
    Treatment tx = treatment_start(POPULATION_TRANSPLANT);
    const Observables graft = treatment_give(&tx, PARAMETER_isoprenaline_mcg_kg_min, 0.01, 15.0);
    Treatment volunteer = treatment_start(POPULATION_VOLUNTEER);
    const Observables own = treatment_give(&volunteer, PARAMETER_isoprenaline_mcg_kg_min, 0.01, 15.0);
    published_begin("T24", "isoprenaline 10 ng/kg/min", "C", "Yusuf, Circulation 1987");
    published_between("denervated graft: rate, 1/min", treatment_change(tx, graft, hr_per_min), 18, 27);
    published_between("volunteer: rate, 1/min", treatment_change(volunteer, own, hr_per_min), 7, 12);
    treatment_end(&tx);
    treatment_end(&volunteer);
}
END_TEST

START_TEST(T25) {
    Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    parameters.rhythm_kind = RHYTHM_PACED_VENTRICULAR;
    parameters.pacing_rate_per_min = 80.0;
    Treatment paced = treatment_start_as(&parameters);
    const Observables after =
        treatment_give(&paced, PARAMETER_isoprenaline_mcg_kg_min, 2.0 / parameters.weight_kg, 15.0);
    published_begin("T25", "fixed rate: isoprenaline 2 mcg/min", "C",
                    "8 paced patients with heart block (R25)");
    published_between("SVR, %", treatment_percent(paced, after, svr_wu), -55, -35);
    published_between("cardiac index, %", treatment_percent(paced, after, systemic_flow_l_min), 35, 70);
    published_between("MAP, %", treatment_percent(paced, after, art_mean_mmhg), -25, -10);
    treatment_end(&paced);
}
END_TEST

START_TEST(T27) {
    Treatment prf = treatment_start(POPULATION_PUMP_RIGHT_FAILURE);
    const Observables after = treatment_give(&prf, PARAMETER_nitric_oxide_ppm, 40.0, 30.0);
    published_begin("T27", "left pump in suction, failing right ventricle: nitric oxide 40 ppm", "C",
                    "Wagner, Circulation 1997;96 Suppl II, PMID 9386113");
    published_between("PVR, %", treatment_percent(prf, after, pvr_wu), -42, -30);
    published_between("cardiac index, % (low filling limited the flow)",
                      treatment_percent(prf, after, systemic_flow_l_min), 2, 40);
    treatment_end(&prf);

    Parameters parameters = populations_parameters(POPULATION_PUMP);
    parameters.pulmonary_resistance_x = 2.0;
    Treatment filled = treatment_start_as(&parameters);
    const Observables more = treatment_give(&filled, PARAMETER_nitric_oxide_ppm, 40.0, 30.0);
    published_begin("T27", "well-filled left pump, PVR about 4: nitric oxide 40 ppm", "D",
                    "continuous-flow pump at fixed speed; Hare, Circulation 1997 for the left atrium");
    published_between("cardiac index, %", treatment_percent(filled, more, systemic_flow_l_min), 2, 15);
    published_between("left atrium, mmHg", treatment_change(filled, more, la_mean_mmhg), 0, INFINITY);
    treatment_end(&filled);
}
END_TEST

START_TEST(T28) {
    Parameters parameters = populations_parameters(POPULATION_PUMP_RIGHT_FAILURE);
    parameters.nitric_oxide_ppm = 20.0; /* as if for days: the lung relies on it at the start */
    Treatment stopped = treatment_start_as(&parameters);
    double highest = 0.0, at_min = 0.0;
    closed_loop_set(stopped.patient, PARAMETER_nitric_oxide_ppm, 0.0);
    for (int minute = 1; minute <= 20; minute++) {
        const Observables now = treatment_wait(&stopped, 1.0);
        const double rise = treatment_percent(stopped, now, pa_mean_mmhg);
        if (rise > highest) {
            highest = rise;
            at_min = minute;
        }
    }
    const Observables hour = treatment_wait(&stopped, 40.0);
    published_begin("T28", "nitric oxide 20 ppm stopped at once after days", "C",
                    "AJRCCM 2006, doi 10.1164/rccm.200605-694OC");
    published_between("mean PA, highest rise, %", highest, 10, 40);
    published_between("at, min", at_min, 5, 15);
    published_between("rise left at 60 min, share of the highest",
                      treatment_percent(stopped, hour, pa_mean_mmhg) / highest, -INFINITY, 0.5);
    treatment_end(&stopped);

    Treatment tapered = treatment_start_as(&parameters);
    static const double STEPS_PPM[] = {10.0, 5.0, 2.5, 1.0};
    for (int i = 0; i < 4; i++)
        (void)treatment_give(&tapered, PARAMETER_nitric_oxide_ppm, STEPS_PPM[i], 30.0);
    const double pvr_at_one_ppm = treatment_wait(&tapered, 1.0).pvr_wu;
    const Observables off = treatment_give(&tapered, PARAMETER_nitric_oxide_ppm, 0.0, 10.0);
    published_begin("T28", "the same tapered to 1 ppm over 2 h, then stopped", "C", "as above");
    published_between("PVR beyond that at 1 ppm, %", closed_loop_percent(pvr_at_one_ppm, off.pvr_wu),
                      -INFINITY, 10);
    treatment_end(&tapered);
}
END_TEST

START_TEST(T29) {
    Treatment ph = treatment_start(POPULATION_PULMONARY_HYPERTENSION);
    const Observables after = treatment_give(&ph, PARAMETER_inhaled_epoprostenol_ng_kg_min, 50.0, 10.0);
    published_begin("T29", "pulmonary hypertension: inhaled epoprostenol 50, at 10 min", "C",
                    "Haraldsson, Chest 1998;114:780; De Wet 2004");
    published_between("PVR, %", treatment_percent(ph, after, pvr_wu), -45, -25);
    published_between("SVR, %", treatment_percent(ph, after, svr_wu), -8, INFINITY);
    treatment_end(&ph);
}
END_TEST

START_TEST(T30) {
    const Parameters parameters = populations_parameters(POPULATION_PULMONARY_HYPERTENSION);
    Treatment ph = treatment_start_as(&parameters);
    const double rate = 5000.0 / parameters.weight_kg / 10.0; /* 5 mg in 10 min */
    (void)treatment_give(&ph, PARAMETER_inhaled_milrinone_mcg_kg_min, rate, 10.0);
    const Observables after = treatment_give(&ph, PARAMETER_inhaled_milrinone_mcg_kg_min, 0.0, 5.0);
    const Observables later = treatment_wait(&ph, 75.0);
    published_begin("T30", "pulmonary hypertension: milrinone 5 mg inhaled", "C",
                    "Sablotzki, Can J Anesth 2005;52:1076");
    published_between("PVR, %", treatment_percent(ph, after, pvr_wu), -30, -15);
    published_known(
        "MAP, %", treatment_percent(ph, after, art_mean_mmhg), -4, 0,
        "the unloaded right ventricle gives 5 % more output, which outweighs the little milrinone "
        "that is absorbed; more absorption or a weaker right ventricle would lower MAP");
    published_between("PVR 80 min after the end, within a tenth of the start, %",
                      treatment_percent(ph, later, pvr_wu), -10, 10);
    treatment_end(&ph);
}
END_TEST

/* Norepinephrine that holds MAP at `mmhg`, by bisection of the dose in short runs from now on. */
static double holding_dose(Treatment *treatment, double mmhg, double low, double high) {
    for (int i = 0; i < 6; i++) {
        const double dose = 0.5 * (low + high);
        const Observables now = treatment_give(treatment, PARAMETER_norepinephrine_mcg_kg_min, dose, 8.0);
        if (now.art_mean_mmhg > mmhg) {
            high = dose;
        } else {
            low = dose;
        }
    }
    return 0.5 * (low + high);
}

START_TEST(T31) {
    const Parameters parameters = populations_parameters(POPULATION_PUMP_VASOPLEGIA);
    Treatment pv = treatment_start_as(&parameters);
    const double usual = parameters.norepinephrine_mcg_kg_min;
    (void)treatment_give(&pv, PARAMETER_methylene_blue_mg_kg_min, 0.1, 20.0);
    closed_loop_set(pv.patient, PARAMETER_methylene_blue_mg_kg_min, 0.0);
    const double needed = holding_dose(&pv, pv.before.art_mean_mmhg, 0.5 * usual, usual);
    published_begin("T31", "left pump, vasoplegia: methylene blue 2 mg/kg in 20 min", "C", "PMID 32758558");
    published_between("norepinephrine need within the hour, %", closed_loop_percent(usual, needed), -25, -10);
    treatment_end(&pv);

    Treatment without = treatment_start(POPULATION_PUMP);
    (void)treatment_give(&without, PARAMETER_methylene_blue_mg_kg_min, 0.1, 20.0);
    const Observables after = treatment_give(&without, PARAMETER_methylene_blue_mg_kg_min, 0.0, 20.0);
    published_begin("T31", "the same without vasoplegia", "D", "effective in vasoplegia only");
    published_between("SVR, %", treatment_percent(without, after, svr_wu), 0, 5);
    treatment_end(&without);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("T17-T31");
    TCase *tests = tcase_create("vessels and lung");
    tcase_set_timeout(tests, 300.0);
    tcase_add_test(tests, T17);
    tcase_add_test(tests, T19);
    tcase_add_test(tests, T20);
    tcase_add_test(tests, T21);
    tcase_add_test(tests, T22);
    tcase_add_test(tests, T23);
    tcase_add_test(tests, T24);
    tcase_add_test(tests, T25);
    tcase_add_test(tests, T27);
    tcase_add_test(tests, T28);
    tcase_add_test(tests, T29);
    tcase_add_test(tests, T30);
    tcase_add_test(tests, T31);
    suite_add_tcase(made, tests);
    return made;
}

PUBLISHED_MAIN(suite)
