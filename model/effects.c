/* Effects of the slow organs: the neutral element. */
#include "model/effects.h"

Effects model_effects_none(void) {
    return (Effects){
        .lv_ees_x = 1,
        .rv_ees_x = 1,
        .atrial_ees_x = 1,
        .relaxation_x = 1,
        .hr_x = 1,
        .svr_x = 1,
        .pvr_x = 1,
        .viscosity_x = 1,
        .reflex_svr_x = 1,
        .reflex_ees_x = 1,
    };
}
