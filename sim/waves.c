/* Waveforms as a table: one row per 4 ms, the bedside's traces first, then the truth behind them. */
#include "sim/waves.h"

#include "sim/csv.h"

#include <stddef.h>

/* Truth columns: member of Sample, unit for the number of decimals. */
static const struct {
    const char *name;
    const char *unit;
    size_t offset;
} TRUTH[] = {
#define T(member, unit)                                                                                      \
    { "true_" #member, unit, offsetof(Sample, member) }
    T(aorta_mmhg, "mmHg"),
    T(lv_mmhg, "mmHg"),
    T(rv_mmhg, "mmHg"),
    T(la_mmhg, "mmHg"),
    T(ra_mmhg, "mmHg"),
    T(pa_mmhg, "mmHg"),
    T(cvp_mmhg, "mmHg"),
    T(pericardium_mmhg, "mmHg"),
    T(lv_ml, "mL"),
    T(rv_ml, "mL"),
    T(la_ml, "mL"),
    T(ra_ml, "mL"),
    T(septum_ml, "mL"),
    T(mitral_ml_s, "mL/s"),
    T(aortic_ml_s, "mL/s"),
    T(tricuspid_ml_s, "mL/s"),
    T(pulmonary_ml_s, "mL/s"),
    T(left_pump_ml_s, "mL/s"),
    T(right_pump_ml_s, "mL/s"),
    T(left_occlusion, "fraction"),
#undef T
};

enum { TRUTH_COUNT = sizeof TRUTH / sizeof TRUTH[0], ECG_DECIMALS = 3, OTHER_DECIMALS = 2, TEXT_MAX = 64 };

void sim_waves_write_header(FILE *out) {
    CsvWriter csv = sim_csv_begin(out);
    sim_csv_text(&csv, "time_s");
    for (int i = 0; i < TRACE_COUNT; i++)
        sim_csv_text(&csv, sim_instruments_trace_row((TraceId)i)->key);
    for (int i = 0; i < TRUTH_COUNT; i++)
        sim_csv_text(&csv, TRUTH[i].name);
    sim_csv_end_row(&csv);
}

void sim_waves_write_beat(FILE *out, const Beat *beat, const Trace *trace) {
    CsvWriter csv = sim_csv_begin(out);
    for (int t = 0; t < beat->ticks; t++) {
        sim_csv_quantity(&csv, (double)(beat->first_tick + t + 1) * BEAT_TICK_S, "s");
        for (int i = 0; i < TRACE_COUNT; i++) {
            char text[TEXT_MAX] = "";
            if (t < trace->ticks)
                sim_csv_format(text, sizeof text, trace->value[i][t],
                               i == TRACE_ECG ? ECG_DECIMALS : OTHER_DECIMALS);
            sim_csv_text(&csv, text);
        }
        const char *sample = (const char *)&beat->samples[t];
        for (int i = 0; i < TRUTH_COUNT; i++)
            sim_csv_quantity(&csv, *(const double *)(const void *)(sample + TRUTH[i].offset), TRUTH[i].unit);
        sim_csv_end_row(&csv);
    }
}
