/* Invented looks for tests, golden pictures and the frame timer: six patients with the beats of the last
   seconds. Volumes follow what the model gives for such patients; the course within a beat is drawn by hand.
 */
#ifndef TESTS_SUPPORT_LOOK_VIEWS_H
#define TESTS_SUPPORT_LOOK_VIEWS_H

#include "tests/support/heart_views.h"
#include "ui/look.h"

#include <math.h>
#include <string.h>

#define LOOK_PI 3.14159265358979323846

typedef enum LookExample {
    LOOK_HEALTHY,
    LOOK_SUPPORTED,
    LOOK_CLOT_RA,
    LOOK_RV_FAILURE,
    LOOK_SUCTION,
    LOOK_TAMPONADE,
    LOOK_EXAMPLES
} LookExample;

static const char *const LOOK_EXAMPLE_NAME[LOOK_EXAMPLES] = {"healthy",    "supported", "clot_ra",
                                                             "rv_failure", "suction",   "tamponade"};

enum { LOOK_BEAT_MOMENTS = 96, LOOK_LAST = 1200 }; /* 78 beats/min; the moment on show at first */

static inline HeartView look_heart(LookExample example) {
    static const HeartSituation HEALTHY = {
        "Healthy",
        "usual sizes, valve opens each beat",
        {128, 145, 66, 72},
        {50, 64, 34, 38},
        8.6,
        1.0,
        0.0,
        1.0,
        0.0,
        0.0,
        0.0,
        0.0,
        15.0,
        {0},
        0.0,
        5.4,
        5.4,
        0.0,
        0.0,
        0.0,
        {0.28, 0.28, 0.29, 0.28, 0.28, 0.28, 0.29, 0.28, 0.28, 0.28, 0.28, 0.28}};
    static const int SITUATION[LOOK_EXAMPLES] = {-1, 0, 6, 1, 3, 2};
    const HeartSituation *s = example == LOOK_HEALTHY ? &HEALTHY : &HEART_SITUATION[SITUATION[example]];
    HeartView v = heart_view(s, 1.0);
    if (example == LOOK_HEALTHY) {
        const double reference_ml[HEART_CHAMBER_COUNT] = {128.0, 145.0, 66.0, 72.0};
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
            v.chamber[c].reference_ml = reference_ml[c];
            v.chamber[c].usual_low_ml = 0.85 * reference_ml[c];
            v.chamber[c].usual_high_ml = 1.15 * reference_ml[c];
        }
        v.septum_reference_mm = 8.6;
        v.septum_low_mm = 5.6;
        v.septum_high_mm = 11.6;
        v.left_pump = (HeartPump){.present = false};
    }
    if (v.left_pump.present) v.left_pump.bore_mm = 20.0;
    return v;
}

static inline double look_bump(double phase, double at, double width) {
    double d = (phase - at) / width;
    return exp(-0.5 * d * d);
}

/* One moment, `phase` 0..1 of the beat from the onset; `opens`: the aortic valve opens in it. */
static inline HeartMoment look_moment(const HeartView *v, LookExample example, double phase, bool opens) {
    HeartMoment m = {.beating = true, .onset = phase < 1.0 / LOOK_BEAT_MOMENTS, .systole = phase < 0.38};
    double out = phase < 0.40 ? 0.5 - 0.5 * cos(LOOK_PI * phase / 0.40)
                              : pow(0.5 + 0.5 * cos(LOOK_PI * (phase - 0.40) / 0.60), 1.6);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        const HeartChamber *chamber = &v->chamber[c];
        double full = c == HEART_LV || c == HEART_RV ? 1.0 - out : out;
        m.volume_ml[c] = (float)(chamber->beat_min_ml + full * (chamber->beat_max_ml - chamber->beat_min_ml));
        m.push_mmhg[c] = -5.0f;
    }
    double early = look_bump(phase, 0.56, 0.07), late = look_bump(phase, 0.90, 0.04);
    m.open_frac[HEART_MITRAL] = m.open_frac[HEART_TRICUSPID] = (float)fmin(early + 0.8 * late, 1.0);
    double eject = opens && phase > 0.06 && phase < 0.36 ? sin(LOOK_PI * (phase - 0.06) / 0.30) : 0.0;
    m.open_frac[HEART_AORTIC] = (float)fmin(1.8 * eject, 1.0);
    const double leak_l_min[HEART_VALVE_COUNT] = {[HEART_MITRAL] = v->mitral_leak_l_min,
                                                  [HEART_TRICUSPID] = v->tricuspid_leak_l_min,
                                                  [HEART_AORTIC] = v->aortic_leak_l_min};
    double back = phase > 0.04 && phase < 0.42 ? sin(LOOK_PI * (phase - 0.04) / 0.38) : 0.0;
    m.valve_ml_s[HEART_MITRAL] = (float)(-leak_l_min[HEART_MITRAL] / 0.06 / 0.24 * back);
    m.valve_ml_s[HEART_TRICUSPID] = (float)(-leak_l_min[HEART_TRICUSPID] / 0.06 / 0.24 * back);
    m.valve_ml_s[HEART_AORTIC] = (float)(-leak_l_min[HEART_AORTIC] / 0.06);
    m.septum_mm = (float)(v->septum_mm - (example == LOOK_RV_FAILURE ? 1.5 : 0.6) * out);
    double pump = v->left_pump.flow_ml_s;
    m.left_pump_ml_s = (float)(pump * (1.0 + 0.45 * look_bump(phase, 0.18, 0.10) - 0.10));
    m.left_occlusion = (float)(v->left_pump.occlusion_frac * (0.55 + 0.45 * out));
    if (example == LOOK_CLOT_RA) m.push_mmhg[HEART_RA] = (float)(3.0 - 4.5 * early - 2.0 * late);
    if (example == LOOK_TAMPONADE) {
        m.push_mmhg[HEART_RA] =
            (float)(2.6 * look_bump(phase, 0.10, 0.16) + 2.6 * look_bump(phase, 1.0, 0.1) - 0.6);
        m.push_mmhg[HEART_RV] = (float)(2.4 * look_bump(phase, 0.55, 0.09) - 0.8);
    }
    m.ecg_mv = (float)(0.10 * look_bump(phase, 0.88, 0.022) + 1.05 * look_bump(phase, 0.012, 0.011) -
                       0.16 * look_bump(phase, 0.045, 0.012) + 1.05 * look_bump(phase, 1.012, 0.011) +
                       0.24 * look_bump(phase, 0.34, 0.045));
    m.diastolic_end = phase > 1.0 - 1.5 / LOOK_BEAT_MOMENTS;
    return m;
}

/* Fills *sheet with `page` of an example; the moment on show lies `phase` (0..1) into a beat. */
static inline void look_example(LookSheet *sheet, LookExample example, LookPage page, double phase) {
    memset(sheet, 0, sizeof *sheet);
    sheet->page = page;
    sheet->outline = sheet->picture = sheet->tags = true;
    sheet->left_s = NAN;
    sheet->time_s = 8120.0;
    sheet->time_rate = 1.0;
    sheet->heart = look_heart(example);
    sheet->loop.end = LOOK_LAST + 200;
    sheet->loop.first = sheet->loop.end - HEART_MOMENTS;
    for (int64_t n = sheet->loop.first; n < sheet->loop.end; n++) {
        int64_t beat = n / LOOK_BEAT_MOMENTS;
        bool opens = example == LOOK_HEALTHY || (example == LOOK_SUPPORTED && beat % 3 == 0);
        double at = (double)(n % LOOK_BEAT_MOMENTS) / LOOK_BEAT_MOMENTS;
        sheet->loop.moment[n % HEART_MOMENTS] = look_moment(&sheet->heart, example, at, opens);
    }
    sheet->at = LOOK_LAST / LOOK_BEAT_MOMENTS * LOOK_BEAT_MOMENTS + (int64_t)(phase * LOOK_BEAT_MOMENTS);
    ui_look_settle(sheet);
}

#endif
