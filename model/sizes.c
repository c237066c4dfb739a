/* Geometry of the picture. */
#include "model/sizes.h"

#include "model/smooth.h"

#include <math.h>

#define ML_PER_CM3       1.0
#define MM3_PER_ML       1000.0
#define MM_PER_CM        10.0
#define SEPTUM_RADIUS_MM 33.0 /* of the ring that carries the septum; chosen */
#define SEPTUM_USUAL_ML  15.0 /* at which the ellipsoid's diameter holds; healthy end diastole */
#define LONG_NORMAL      2.0  /* length over diameter of a normal ventricle; chosen */
#define LONG_LOST        0.5  /* of it, lost in the round dilated ventricle; chosen */
#define LONG_FROM_ML     120.0
#define LONG_OVER_ML     160.0
#define RV_USUAL_MM      39.0 /* basal diameter at the usual volume; textbook below 41 */
#define RV_USUAL_ML      145.0
#define MOSTELLER        3600.0

double model_sizes_septum_mm(double septum_ml) {
    /* V = pi h (3 a^2 + h^2) / 6 solved for h: the one real root of a cubic */
    const double a = SEPTUM_RADIUS_MM;
    const double q = 3.0 * septum_ml * MM3_PER_ML / (SMOOTH_PI * a * a * a);
    return 2.0 * a * sinh(asinh(q) / 3.0);
}

double model_sizes_septum_ml(double septum_mm) {
    const double a = SEPTUM_RADIUS_MM;
    return SMOOTH_PI * septum_mm * (3.0 * a * a + septum_mm * septum_mm) / 6.0 / MM3_PER_ML;
}

double model_sizes_septum_usual_mm(void) {
    return model_sizes_septum_mm(SEPTUM_USUAL_ML);
}

double model_sizes_lv_mm(double lv_ml, double septum_ml) {
    /* the ventricle as it would be with the septum in its usual place, then the septum moved */
    const double usual_ml = fmax(lv_ml - septum_ml + SEPTUM_USUAL_ML, 0.0);
    const double round = fmin(fmax((usual_ml - LONG_FROM_ML) / LONG_OVER_ML, 0.0), 1.0);
    const double k = LONG_NORMAL - LONG_LOST * round;
    const double diameter_cm = cbrt(6.0 * usual_ml / ML_PER_CM3 / (SMOOTH_PI * k));
    const double shift_mm = model_sizes_septum_mm(septum_ml) - model_sizes_septum_mm(SEPTUM_USUAL_ML);
    return fmax(MM_PER_CM * diameter_cm + shift_mm, 0.0);
}

double model_sizes_rv_mm(double rv_ml) {
    return RV_USUAL_MM * cbrt(fmax(rv_ml, 0.0) / RV_USUAL_ML);
}

double model_sizes_body_m2(double weight_kg, double height_cm) {
    return sqrt(weight_kg * height_cm / MOSTELLER);
}
