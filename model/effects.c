/* What the slow organs do to the circulation: the neutral value. */
#include "model/effects.h"

Effects model_effects_none(void) {
    const Effects none = {
        .lv_ees_x = 1.0,
        .rv_ees_x = 1.0,
        .atrial_ees_x = 1.0,
        .relaxation_x = 1.0,
        .hr_x = 1.0,
        .svr_x = 1.0,
        .pvr_x = 1.0,
        .viscosity_x = 1.0,
        .reflex_svr_x = 1.0,
        .reflex_ees_x = 1.0,
    };
    return none;
}
