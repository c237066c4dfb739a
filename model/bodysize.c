/* Body size: the exponent of body surface for every parameter that has one. */
#include "model/bodysize.h"

#include "model/sizes.h"

#include <math.h>
#include <stddef.h>

#define FLOW_INDEX_L_MIN_M2 2.6 /* usual flow of the supported at rest */
#define RPM_PER_KRPM        1000.0

#define GROWS(key)                                                                                           \
    { PARAMETER_##key, 1.0 }
#define SHRINKS(key)                                                                                         \
    { PARAMETER_##key, -1.0 }
#define CHAMBER(x) SHRINKS(x##_ees_mmhg_ml), GROWS(x##_vd_ml), SHRINKS(x##_beta_per_ml), GROWS(x##_v0_ml)

/* What is not here keeps its value: pressures, times, rates, fractions, doses, devices. */
static const struct {
    ParameterId id;
    double exponent;
} SCALED[] = {
    CHAMBER(lv),
    CHAMBER(rv),
    CHAMBER(la),
    CHAMBER(ra),
    GROWS(la_base_reference_ml),
    GROWS(ra_base_reference_ml),
    SHRINKS(ventricle_flow_loss_s_ml),
    GROWS(ventricle_collapse_ml),
    SHRINKS(ventricle_collapse_per_ml),
    GROWS(atrium_collapse_ml),
    SHRINKS(atrium_collapse_per_ml),
    SHRINKS(septum_ees_mmhg_ml),
    GROWS(septum_width_ml),
    SHRINKS(septum_r_mmhg_s_ml),
    SHRINKS(pericardium_lambda_per_ml),
    GROWS(pericardium_v0_ml),
    GROWS(clot_room_lv_ml),
    GROWS(clot_room_rv_ml),
    GROWS(clot_room_la_ml),
    GROWS(clot_room_ra_ml),
    SHRINKS(clot_elastance_mmhg_ml),
    GROWS(clot_width_ml),
    GROWS(mitral_area_cm2),
    GROWS(mitral_leak_cm2),
    GROWS(mitral_leak_onset_ml),
    GROWS(mitral_leak_max_cm2),
    GROWS(aortic_area_cm2),
    GROWS(aortic_leak_cm2),
    GROWS(tricuspid_area_cm2),
    GROWS(tricuspid_leak_cm2),
    GROWS(tricuspid_leak_onset_ml),
    GROWS(tricuspid_leak_max_cm2),
    GROWS(pulmonary_area_cm2),
    GROWS(pulmonary_leak_cm2),
    GROWS(aorta_c_ml_mmhg),
    GROWS(aorta_vu_ml),
    SHRINKS(aorta_r_mmhg_s_ml),
    SHRINKS(aorta_l_mmhg_s2_ml),
    GROWS(artery_c_ml_mmhg),
    GROWS(artery_vu_ml),
    SHRINKS(splanchnic_r_mmhg_s_ml),
    GROWS(splanchnic_c_ml_mmhg),
    GROWS(splanchnic_vu_ml),
    SHRINKS(splanchnic_drain_r_mmhg_s_ml),
    SHRINKS(other_r_mmhg_s_ml),
    GROWS(other_c_ml_mmhg),
    GROWS(other_vu_ml),
    SHRINKS(other_drain_r_mmhg_s_ml),
    GROWS(cava_c_ml_mmhg),
    GROWS(cava_vu_ml),
    SHRINKS(cava_r_mmhg_s_ml),
    SHRINKS(cava_l_mmhg_s2_ml),
    GROWS(conduit_volume_ml),
    GROWS(pa_c_ml_mmhg),
    GROWS(pa_vu_ml),
    SHRINKS(pa_r_mmhg_s_ml),
    SHRINKS(pa_l_mmhg_s2_ml),
    GROWS(lung_artery_c_ml_mmhg),
    GROWS(lung_artery_vu_ml),
    SHRINKS(pulmonary_r_mmhg_s_ml),
    GROWS(pulmonary_vein_c_ml_mmhg),
    GROWS(pulmonary_vein_vu_ml),
    SHRINKS(pulmonary_vein_r_mmhg_s_ml),
    GROWS(left_pump_suction_ml),
    GROWS(left_pump_suction_width_ml),
    GROWS(right_pump_suction_ml),
    GROWS(right_pump_suction_width_ml),
    SHRINKS(lung_e_mmhg_ml),
    SHRINKS(chest_wall_e_mmhg_ml),
    SHRINKS(airway_r_mmhg_s_ml),
    SHRINKS(abdomen_per_ml),
    {PARAMETER_pulmonary_volume_k, -2.0},
    GROWS(blood_volume_ml),
    GROWS(maintenance_ml_h),
};

/* Sets a value, at the end of its range if it would leave it. */
static void set_within(Parameters *parameters, ParameterId id, double value) {
    const ParameterRow *row = model_parameters_row(id);
    (void)!model_parameters_set(parameters, id, fmin(fmax(value, row->low), row->high), NULL);
}

/* Speed, rpm, at which a pump makes the head it makes at `flow` and `rpm` with `s` times the flow. */
static double same_head_rpm(double a, double b, double c, double rpm, double flow_l_min, double s) {
    const double w = rpm / RPM_PER_KRPM;
    const double head = a * w * w - b * w * flow_l_min - c * flow_l_min * flow_l_min;
    const double q = s * flow_l_min;
    /* a w2 - b q w - (head + c q2) = 0 */
    return RPM_PER_KRPM * (b * q + sqrt(b * b * q * q + 4.0 * a * (head + c * q * q))) / (2.0 * a);
}

void model_bodysize_scale(Parameters *p, double weight_kg, double height_cm, bool female) {
    const double before_m2 = model_sizes_body_m2(p->weight_kg, p->height_cm);
    const double s = model_sizes_body_m2(weight_kg, height_cm) / before_m2;
    const double flow_l_min = FLOW_INDEX_L_MIN_M2 * before_m2;
    for (size_t i = 0; i < sizeof SCALED / sizeof SCALED[0]; i++) {
        const double value = model_parameters_get(p, SCALED[i].id);
        set_within(p, SCALED[i].id, value * pow(s, SCALED[i].exponent));
    }
    if (p->left_pump_present > 0.5)
        set_within(p, PARAMETER_left_pump_speed_rpm,
                   same_head_rpm(p->left_pump_a_mmhg_krpm2, p->left_pump_b_mmhg_min_l_krpm,
                                 p->left_pump_c_mmhg_min2_l2, p->left_pump_speed_rpm, flow_l_min, s));
    if (p->right_pump_present > 0.5)
        set_within(p, PARAMETER_right_pump_speed_rpm,
                   same_head_rpm(p->right_pump_a_mmhg_krpm2, p->right_pump_b_mmhg_min_l_krpm,
                                 p->right_pump_c_mmhg_min2_l2, p->right_pump_speed_rpm, flow_l_min, s));
    set_within(p, PARAMETER_weight_kg, weight_kg);
    set_within(p, PARAMETER_height_cm, height_cm);
    p->sex_female = female ? 1.0 : 0.0;
}
