/* Bedside formulas that are arithmetic on measured values. */
#include "model/formulas.h"

#include <math.h>

/* Nadler 1962: litres from height in metres cubed and weight in kg */
static const double NADLER_MALE_CUBE = 0.3669;
static const double NADLER_MALE_KG = 0.03219;
static const double NADLER_MALE_REST = 0.6041;
static const double NADLER_FEMALE_CUBE = 0.3561;
static const double NADLER_FEMALE_KG = 0.03308;
static const double NADLER_FEMALE_REST = 0.1833;
/* Mosteller 1987: root of height (cm) x weight (kg) / 3600 */
static const double MOSTELLER_CM_KG = 3600.0;
/* Fincke 2004: mmHg L/min per watt */
static const double POWER_MMHG_L_MIN_PER_W = 451.0;
/* g m per mmHg mL: density of mercury 13.6 g/mL over 1000 */
static const double WORK_G_M_PER_MMHG_ML = 0.0136;
/* mL of oxygen per g haemoglobin and L of blood: 1.34 mL/g, 10 dL/L */
static const double FICK_ML_DL_G_L = 13.4;
static const double CM_PER_M = 100.0;
static const double ML_PER_L = 1000.0;

/* a/b, or NAN where b is not positive. */
static double ratio(double a, double b) {
    return b > 0.0 ? a / b : (double)NAN;
}

double model_formulas_nadler_ml(double height_cm, double weight_kg, bool female) {
    const double h_m = height_cm / CM_PER_M;
    const double cube = h_m * h_m * h_m;
    const double litres = female
                              ? NADLER_FEMALE_CUBE * cube + NADLER_FEMALE_KG * weight_kg + NADLER_FEMALE_REST
                              : NADLER_MALE_CUBE * cube + NADLER_MALE_KG * weight_kg + NADLER_MALE_REST;
    return litres * ML_PER_L;
}

double model_formulas_surface_m2(double height_cm, double weight_kg) {
    return sqrt(height_cm * weight_kg / MOSTELLER_CM_KG);
}

double model_formulas_resistance_wu(double inflow_mmhg, double outflow_mmhg, double flow_l_min) {
    return ratio(inflow_mmhg - outflow_mmhg, flow_l_min);
}

double model_formulas_papi(double pa_systolic_mmhg, double pa_diastolic_mmhg, double cvp_mmhg) {
    return ratio(pa_systolic_mmhg - pa_diastolic_mmhg, cvp_mmhg);
}

double model_formulas_power_w(double map_mmhg, double flow_l_min) {
    return map_mmhg * flow_l_min / POWER_MMHG_L_MIN_PER_W;
}

double model_formulas_rvswi(double pa_mean_mmhg, double ra_mmhg, double stroke_index_ml_m2) {
    return (pa_mean_mmhg - ra_mmhg) * stroke_index_ml_m2 * WORK_G_M_PER_MMHG_ML;
}

double model_formulas_fick_svo2(double sao2_frac, double vo2_ml_min, double flow_l_min, double hb_g_dl) {
    return sao2_frac - ratio(vo2_ml_min, flow_l_min * hb_g_dl * FICK_ML_DL_G_L);
}

double model_formulas_shock_success(double energy_j, bool internal) {
    const double half_internal_j = 5.0;
    const double half_external_j = 75.0; /* 0.87 at 150 J, 0.94 at 200 J */
    const double width = 0.36;           /* of the logistic curve in ln(energy) */
    const double half_j = internal ? half_internal_j : half_external_j;
    return 1.0 / (1.0 + exp(-log(energy_j / half_j) / width));
}

double model_formulas_cardioversion_success(double energy_j, bool internal) {
    const double half_external_j = 40.0; /* 0.68 at 70 J, 0.89 at 200 J */
    const double internal_frac = 0.1;
    const double width = 0.76; /* of the logistic curve in ln(energy) */
    const double half_j = internal ? half_external_j * internal_frac : half_external_j;
    return 1.0 / (1.0 + exp(-log(energy_j / half_j) / width));
}
