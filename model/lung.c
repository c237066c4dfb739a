/* Breathing mechanics. P_alv = (E_L + E_cw) V - P_mus, P_pl = P_pl0 + E_cw V - P_mus. */
#include "model/lung.h"

#include "model/smooth.h"
#include "model/units.h"

#include <math.h>

#define EDGE_S         0.05 /* softness of the ventilator's pressure edges */
#define RISE_DELAY_S   0.3  /* start of the ventilator's inspiration within its breath */
#define MUSCLE_DECAY_S 0.35 /* relaxation of the inspiratory muscles */
#define ML_PER_L       1000.0

LungConstants model_lung_constants(const Parameters *parameters, double breath_frac) {
    const double breath_s = UNITS_S_PER_MIN / parameters->respiratory_rate_per_min;
    const double inspiration_s = breath_s * parameters->inspiratory_frac;
    return (LungConstants){
        .ventilated = parameters->ventilated > 0.5,
        .breath_s = breath_s,
        .inspiration_s = inspiration_s,
        .breath_frac_start = breath_frac,
        .peep_mmhg = parameters->peep_cmh2o * UNITS_MMHG_PER_CMH2O,
        .driving_mmhg = parameters->driving_cmh2o * UNITS_MMHG_PER_CMH2O,
        .effort_mmhg = parameters->effort_mmhg,
        .effort_rest_frac = exp(-(breath_s - inspiration_s) / MUSCLE_DECAY_S),
        .lung_e = parameters->lung_e_mmhg_ml,
        .wall_e = parameters->chest_wall_e_mmhg_ml,
        .airway_r = parameters->airway_r_mmhg_s_ml,
        .pleura_mmhg = parameters->pleura_mmhg,
        .abdomen_mmhg = parameters->abdomen_mmhg,
        .abdomen_per_ml = parameters->abdomen_per_ml,
        .chest_closed = 1.0 - parameters->chest_open,
        .resistance_k = parameters->pulmonary_volume_k / (ML_PER_L * ML_PER_L),
        .alveolar_weight = parameters->alveolar_weight_frac,
    };
}

double model_lung_breath_frac(const LungConstants *lung, double t_s) {
    const double breaths = lung->breath_frac_start + t_s / lung->breath_s;
    return breaths - floor(breaths);
}

LungDrive model_lung_drive(const LungConstants *lung, double t_s) {
    const double t = model_lung_breath_frac(lung, t_s) * lung->breath_s;
    LungDrive drive = {0, 0};
    if (lung->ventilated) {
        const double in = smooth_step((t - RISE_DELAY_S) / EDGE_S, NULL);
        const double out = smooth_step((t - RISE_DELAY_S - lung->inspiration_s) / EDGE_S, NULL);
        drive.airway_mmhg = lung->peep_mmhg + lung->driving_mmhg * (in - out);
        return drive;
    }
    if (t < lung->inspiration_s)
        drive.muscle_mmhg = 0.5 * (1.0 - cos(SMOOTH_PI * t / lung->inspiration_s)) +
                            lung->effort_rest_frac * (1.0 - t / lung->inspiration_s);
    else
        drive.muscle_mmhg = exp(-(t - lung->inspiration_s) / MUSCLE_DECAY_S);
    drive.muscle_mmhg *= lung->effort_mmhg;
    return drive;
}

void model_lung_pressures(const LungConstants *lung, const LungDrive *drive, double lung_ml,
                          LungPressures *pressures, LungSlopes *slopes) {
    const double elastance = lung->lung_e + lung->wall_e;
    const double alveolar = elastance * lung_ml - drive->muscle_mmhg;
    const double pleura = lung->pleura_mmhg + lung->wall_e * lung_ml - drive->muscle_mmhg;
    pressures->alveolar_mmhg = alveolar;
    pressures->pleura_mmhg = pleura;
    pressures->mediastinum_mmhg = lung->chest_closed * pleura;
    pressures->abdomen_mmhg = lung->abdomen_mmhg + lung->abdomen_per_ml * lung_ml;
    pressures->waterfall_mmhg = lung->alveolar_weight * alveolar;
    pressures->resistance_x = 1.0 + lung->resistance_k * lung_ml * lung_ml;
    pressures->rate_ml_s = (drive->airway_mmhg - alveolar) / lung->airway_r;
    if (slopes) {
        slopes->mediastinum = lung->chest_closed * lung->wall_e;
        slopes->abdomen = lung->abdomen_per_ml;
        slopes->waterfall = lung->alveolar_weight * elastance;
        slopes->resistance_x = 2.0 * lung->resistance_k * lung_ml;
        slopes->rate = -elastance / lung->airway_r;
    }
}
