/* The first change of a quantity that is more than its noise. */
#include "sim/firstsign.h"

#include <math.h>
#include <string.h>

#define BASE_S       600.0 /* before the trouble began: what was usual then */
#define BASE_LEAST_S 120.0 /* less of it says nothing about noise */
#define HOLDS_S      60.0  /* a sign has to last this long */
#define NOISE_X      3.0   /* standard deviations that are no noise any more */

/* From common practice: walls and septum are read to about 3 mm, a chamber's size to about a seventh. */
static const PictureRow PICTURE[] = {
    {OBSERVABLE_septum_mm, "Septum", 0, 3.0, 0.0},
    {OBSERVABLE_lv_edv_ml, "Left ventricle", 0, 0.0, 0.15},
    {OBSERVABLE_rv_edv_ml, "Right ventricle", 0, 0.0, 0.15},
};

int sim_firstsign_picture_count(void) {
    return (int)(sizeof PICTURE / sizeof PICTURE[0]);
}

const PictureRow *sim_firstsign_picture(int index) {
    return &PICTURE[index];
}

bool sim_firstsign_counts(DisplayId id) {
    const DisplayRow *row = sim_instruments_display_row(id);
    return id != DISPLAY_pump_rpm && id != DISPLAY_right_pump_rpm && id != DISPLAY_peep_cmh2o &&
           id != DISPLAY_rhythm_kind && id != DISPLAY_drain_total_ml && id != DISPLAY_urine_total_ml &&
           id != DISPLAY_respiratory_rate_per_min && strcmp(row->unit, "s") != 0;
}

/* Mean and spread in the time before the trouble; false when there is too little of it. */
static bool usual(SignSeries s, double trouble_s, double *mean, double *spread) {
    double sum = 0.0, squares = 0.0, first_s = NAN;
    size_t count = 0;
    for (size_t i = 0; i < s.count; i++) {
        if (s.time_s[i] > trouble_s || s.time_s[i] < trouble_s - BASE_S || !isfinite(s.value[i])) continue;
        if (count++ == 0) first_s = s.time_s[i];
        sum += s.value[i];
        squares += s.value[i] * s.value[i];
    }
    if (count < 2 || !(trouble_s - first_s >= BASE_LEAST_S)) return false;
    *mean = sum / (double)count;
    *spread = sqrt(fmax(squares / (double)count - *mean * *mean, 0.0));
    return true;
}

FirstSign sim_firstsign_find(SignSeries s, double trouble_s, double least, double least_share) {
    FirstSign sign = {.found = false, .time_s = -1.0};
    double spread;
    if (!usual(s, trouble_s, &sign.before, &spread)) return sign;
    double away = fmax(fmax(least, least_share * fabs(sign.before)), NOISE_X * spread);
    size_t begun = s.count;
    for (size_t i = 0; i < s.count; i++) {
        if (s.time_s[i] <= trouble_s || !isfinite(s.value[i])) continue;
        bool up = s.value[i] > sign.before;
        if (fabs(s.value[i] - sign.before) < away ||
            (begun < s.count && up != (s.value[begun] > sign.before)))
            begun = s.count;
        else if (begun == s.count)
            begun = i;
        else if (s.time_s[i] - s.time_s[begun] >= HOLDS_S) {
            sign.found = true;
            sign.time_s = s.time_s[begun];
            sign.now = s.value[i];
            return sign;
        }
    }
    return sign;
}
