/* Look-alikes: how well numbers and picture tell two causes apart. */
#include "sim/alike_parts.h"

#include "sim/firstsign.h"
#include "sim/separation.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define PICTURE_LEAST_ML 1.0 /* under the logarithm of a share */

/* What a picture is read for, with the uncertainty of one reading. Sizes to about a seventh, walls and septum
   to about 3 mm (common practice, as in sim/firstsign.c): half of that each; the others are design. Fluid and
   clot: a third of collections are missed (Bueyuekbayrak 2014, doi 10.5606/tgkdc.dergisi.2014.9014), so 40 mL
   is no certain reading. */
static const AlikePicture PICTURES[] = {
    {"right ventricle", "mL", OBSERVABLE_rv_edv_ml, 0, 0.075, true, 1.0},
    {"left ventricle", "mL", OBSERVABLE_lv_edv_ml, 0, 0.075, true, 1.0},
    {"right atrium", "mL", OBSERVABLE_ra_max_ml, 0, 0.1, true, 1.0},
    {"left atrium", "mL", OBSERVABLE_la_max_ml, 0, 0.1, true, 1.0},
    {"septum", "mm to the right", OBSERVABLE_septum_mm, 0, 1.5, false, 1.0},
    {"fluid or clot", "mL", OBSERVABLE_pericardial_ml, 0, 40.0, false, 1.0},
    {"aortic valve open", "% of beats", OBSERVABLE_aortic_valve_open_frac, 0, 0.15, false, 100.0},
    {"mitral leak", "%", OBSERVABLE_mr_frac, 0, 0.1, false, 100.0},
    {"tricuspid leak", "%", OBSERVABLE_tr_frac, 0, 0.1, false, 100.0},
};

enum { PICTURE_COUNT = sizeof PICTURES / sizeof PICTURES[0], FEWEST = REHEARSE_ALIKE_LEAST };

const AlikePicture *sim_alike_picture(int row) {
    return &PICTURES[row];
}

/* A number says something when it is measured in the patient, not set, and not how much stands in a bottle.
 */
static bool counts(const Alike *alike, DisplayId id) {
    return id != alike->lead && id != DISPLAY_drain_ml_h && sim_firstsign_counts(id);
}

/* Uncertainty of one reading: half of the smallest change that counts. */
static double sd_of(DisplayId id) {
    return 0.5 * sim_predictions_least(id);
}

/* Whether patient i of both groups was still there at time t. */
static bool there(const AlikeNight *own, const AlikeNight *other, int i, int t) {
    return own[i].played && other[i].played && own[i].times > t && other[i].times > t;
}

/* Adds a column of readings, in units of their uncertainty; false when one is missing. */
static bool add_number(SeparationTable *table, const Alike *alike, const AlikeNight *own,
                       const AlikeNight *other, int t, DisplayId id, bool *change) {
    *change = true;
    for (int i = 0; i < alike->patients; i++)
        if (there(own, other, i, t) && !isfinite(own[i].base[id])) *change = false;
    int row = 0;
    for (int i = 0; i < alike->patients; i++) {
        if (!there(own, other, i, t)) continue;
        double before = *change ? own[i].base[id] : 0.0;
        double a = (own[i].shown[t][id] - before) / sd_of(id),
               b = (other[i].shown[t][id] - before) / sd_of(id);
        if (!isfinite(a) || !isfinite(b)) return false;
        table->a[row][table->candidates] = a;
        table->b[row][table->candidates] = b;
        row++;
    }
    table->candidates++;
    return true;
}

/* What a picture measures, in units of the reading's uncertainty. */
static double picture_of(const Observables *seen, const AlikePicture *picture) {
    double value = model_observables_get(seen, picture->observable);
    if (picture->share) value = log(fmax(value, PICTURE_LEAST_ML));
    return value / picture->sd;
}

static void add_picture(SeparationTable *table, const Alike *alike, const AlikeNight *own,
                        const AlikeNight *other, int t, const AlikePicture *picture) {
    int row = 0;
    for (int i = 0; i < alike->patients; i++) {
        if (!there(own, other, i, t)) continue;
        double outline = picture_of(&own[i].outline, picture);
        table->a[row][table->candidates] = picture_of(&own[i].truth[t], picture) - outline;
        table->b[row][table->candidates] = picture_of(&other[i].truth[t], picture) - outline;
        row++;
    }
    table->candidates++;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *value, int n) {
    qsort(value, (size_t)n, sizeof value[0], by_size);
    return n % 2 == 1 ? value[n / 2] : 0.5 * (value[n / 2 - 1] + value[n / 2]);
}

static double median_column(double rows[][SEPARATION_CANDIDATES_MAX], int n, int column) {
    double value[SEPARATION_GROUP_MAX];
    for (int i = 0; i < n; i++)
        value[i] = rows[i][column];
    return median(value, n);
}

static int people_there(const Alike *alike, const AlikeNight *own, const AlikeNight *other, int t) {
    int count = 0;
    for (int i = 0; i < alike->patients; i++)
        count += there(own, other, i, t);
    return count;
}

static AlikeView view_numbers(const Alike *alike, const AlikeNight *own, const AlikeNight *other, int t,
                              SeparationTable *table) {
    AlikeView view = {.area = NAN, .together = NAN};
    DisplayId id[SEPARATION_CANDIDATES_MAX];
    bool change[SEPARATION_CANDIDATES_MAX];
    table->candidates = 0;
    for (int k = 0; k < DISPLAY_COUNT && table->candidates < SEPARATION_CANDIDATES_MAX; k++) {
        bool since;
        if (!counts(alike, (DisplayId)k) || !add_number(table, alike, own, other, t, (DisplayId)k, &since))
            continue;
        id[table->candidates - 1] = (DisplayId)k;
        change[table->candidates - 1] = since;
    }
    if (table->candidates == 0) return view;
    int best = sim_separation_best(table, &view.area);
    if (best < 0) return view;
    view.together = sim_separation_discriminant_area(table, ALIKE_FEATURES);
    view.best = (int)id[best];
    view.change = change[best];
    view.own = median_column(table->a, table->na, best) * sd_of(id[best]);
    view.other = median_column(table->b, table->nb, best) * sd_of(id[best]);
    return view;
}

/* Median of a measure itself in one group, as it is shown. */
static double median_picture(const Alike *alike, const AlikeNight *group, const AlikeNight *own,
                             const AlikeNight *other, int t, const AlikePicture *picture) {
    double value[SEPARATION_GROUP_MAX];
    int count = 0;
    for (int i = 0; i < alike->patients; i++)
        if (there(own, other, i, t))
            value[count++] = model_observables_get(&group[i].truth[t], picture->observable);
    return picture->times * median(value, count);
}

static AlikeView view_picture(const Alike *alike, const AlikeNight *own, const AlikeNight *other, int t,
                              SeparationTable *table) {
    AlikeView view = {.area = NAN, .together = NAN};
    table->candidates = 0;
    for (int k = 0; k < PICTURE_COUNT; k++)
        add_picture(table, alike, own, other, t, &PICTURES[k]);
    view.best = sim_separation_best(table, &view.area);
    if (view.best < 0) return view;
    view.together = sim_separation_discriminant_area(table, ALIKE_FEATURES);
    view.own = median_picture(alike, own, own, other, t, &PICTURES[view.best]);
    view.other = median_picture(alike, other, own, other, t, &PICTURES[view.best]);
    return view;
}

/* Area of the drains' reading; NaN when it was not on show in all. */
static double view_drain(const Alike *alike, const AlikeNight *own, const AlikeNight *other, int t,
                         SeparationTable *table) {
    bool change;
    double area;
    table->candidates = 0;
    if (!add_number(table, alike, own, other, t, DISPLAY_drain_ml_h, &change)) return NAN;
    (void)sim_separation_best(table, &area);
    return area;
}

/* First time from which on every area is at least SEPARATION_APART; -1: none. */
static int apart_from(const Alike *alike, const AlikeView *view) {
    int from = -1;
    for (int t = alike->times - 1; t >= alike->moved; t--) {
        if (isnan(view[t].area)) continue;
        if (sim_alike_area(&view[t]) < SEPARATION_APART) break;
        from = t;
    }
    return from;
}

bool sim_alike_compare(const Alike *alike, const AlikeNight *own, const AlikeNight *other,
                       AlikeCause *cause) {
    SeparationTable *table = malloc(sizeof *table);
    if (table == NULL) return false;
    for (int t = 0; t < alike->times; t++) {
        cause->number[t] = cause->picture[t] = (AlikeView){.area = NAN, .together = NAN};
        cause->drain[t] = NAN;
        int people = people_there(alike, own, other, t);
        if (people < FEWEST) continue;
        table->na = table->nb = people;
        cause->number[t] = view_numbers(alike, own, other, t, table);
        cause->picture[t] = view_picture(alike, own, other, t, table);
        cause->drain[t] = view_drain(alike, own, other, t, table);
    }
    free(table);
    cause->number_from = apart_from(alike, cause->number);
    cause->picture_from = apart_from(alike, cause->picture);
    return true;
}

double sim_alike_distance(const Alike *alike, const AlikeNight *own, int own_time, const AlikeNight *other,
                          int other_time) {
    double sum = 0.0, count = 0.0;
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        double apart =
            (own->shown[own_time][id] - other->shown[other_time][id]) / sim_predictions_least((DisplayId)id);
        if (!counts(alike, (DisplayId)id) || !isfinite(apart)) continue;
        sum += apart * apart;
        count += 1.0;
    }
    return count > 0.0 ? sqrt(sum / count) : INFINITY;
}
