/* Breathing: one elastic lung in a chest wall, moved by muscle or by a ventilator. */
#ifndef MODEL_LUNG_H
#define MODEL_LUNG_H

#include "model/parameters.h"

#include <stdbool.h>

/* Constants of one beat. */
typedef struct LungConstants {
    bool ventilated;
    double breath_s, inspiration_s; /* length of a breath and of its inspiration */
    double breath_frac_start;       /* place in the breath at the beat's start */
    double peep_mmhg, driving_mmhg, effort_mmhg, effort_rest_frac;
    double lung_e, wall_e; /* mmHg/mL */
    double airway_r;       /* mmHg s/mL */
    double pleura_mmhg, abdomen_mmhg, abdomen_per_ml;
    double chest_closed; /* 1 closed, 0 open to the air */
    double resistance_k; /* rise of pulmonary resistance, 1/mL2 */
    double alveolar_weight;
} LungConstants;

/* Inputs at one moment. */
typedef struct LungDrive {
    double airway_mmhg, muscle_mmhg;
} LungDrive;

/* Pressures around heart and vessels, and their change per mL of lung volume. */
typedef struct LungPressures {
    double alveolar_mmhg, pleura_mmhg, mediastinum_mmhg, abdomen_mmhg;
    double waterfall_mmhg; /* alveolar pressure that counts for the small vessels */
    double resistance_x;   /* of the pulmonary vessels */
    double rate_ml_s;      /* of lung volume */
} LungPressures;

typedef struct LungSlopes {
    double mediastinum, abdomen, waterfall, resistance_x, rate;
} LungSlopes;

LungConstants model_lung_constants(const Parameters *parameters, double breath_frac);

/* Place in the breath (0..1) at `t_s` after the beat's start. */
double model_lung_breath_frac(const LungConstants *lung, double t_s);

LungDrive model_lung_drive(const LungConstants *lung, double t_s);

/* Pressures at lung volume `lung_ml` above rest; `slopes` may be NULL. */
void model_lung_pressures(const LungConstants *lung, const LungDrive *drive, double lung_ml,
                          LungPressures *pressures, LungSlopes *slopes);

#endif
