/* EDF+ files, by the library that writes them: one data record a second, 250 samples of each signal in it.
   Format: Kemp and Olivan, Clin Neurophysiol 2003;114:1755-61, and the specification at edfplus.info. */
#include "sim/edf.h"

#include "sim/output.h"

#include <edflib.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum {
    RATE_HZ = 250, /* 1 / BEAT_TICK_S */
    ANNOTATION_SIGNALS = 3,
    DIGITAL_MAX = 32767,
    ANNOTATION_BYTES = 40 /* what the library keeps of a text */
};

#define ANNOTATION_UNIT_S 1e-4

/* The signals: traces first, in their own order, then truth. Ranges are wide, so that nothing is cut:
   a pressure channel's -30 to 300 mmHg gives steps of 0.005 mmHg. */
typedef struct SignalRow {
    const char *label, *unit; /* at most 16 and 8 characters */
    double low, high;
    size_t offset; /* of a truth in Sample */
} SignalRow;

static const SignalRow SIGNALS[] = {
    [TRACE_ECG] = {"ECG II", "mV", -5, 5, 0},
    [TRACE_ART] = {"ART", "mmHg", -30, 300, 0},
    [TRACE_PA] = {"PAP", "mmHg", -30, 300, 0},
    [TRACE_CVP] = {"CVP", "mmHg", -30, 300, 0},
    [TRACE_PUMP_FLOW] = {"Pump flow est", "L/min", -10, 20, 0},
    [TRACE_AIRWAY] = {"Airway", "cmH2O", -30, 100, 0},
    {"LV pressure true", "mmHg", -30, 300, offsetof(Sample, lv_mmhg)},
    {"RV pressure true", "mmHg", -30, 300, offsetof(Sample, rv_mmhg)},
    {"LV volume true", "mL", 0, 1000, offsetof(Sample, lv_ml)},
    {"RV volume true", "mL", 0, 1000, offsetof(Sample, rv_ml)},
};

enum { SIGNAL_COUNT = sizeof SIGNALS / sizeof SIGNALS[0] };

struct EdfWriter {
    int handle;
    int filled; /* samples of the record under way */
    int64_t log_written;
    bool begun;
    double start_s; /* of the night, at the file's begin */
    double record[SIGNAL_COUNT][RATE_HZ];
    char path[OUTPUT_PATH_MAX], aside[OUTPUT_PATH_MAX + 16];
};

static ErrorCode refuse(const char *path, const char *what, Error *error) {
    ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "%s", what);
    model_error_at(error, path, 0, 0);
    model_error_allow(error, "a file name in a folder that exists and may be written to");
    return code;
}

static bool describe(const EdfWriter *writer) {
    int failed = 0;
    for (int i = 0; i < SIGNAL_COUNT; i++) {
        const SignalRow *row = &SIGNALS[i];
        failed |= edf_set_samplefrequency(writer->handle, i, RATE_HZ);
        failed |= edf_set_physical_maximum(writer->handle, i, row->high);
        failed |= edf_set_physical_minimum(writer->handle, i, row->low);
        failed |= edf_set_digital_maximum(writer->handle, i, DIGITAL_MAX);
        failed |= edf_set_digital_minimum(writer->handle, i, -DIGITAL_MAX - 1);
        failed |= edf_set_label(writer->handle, i, row->label);
        failed |= edf_set_physical_dimension(writer->handle, i, row->unit);
    }
    /* nobody shall take it for a person's recording */
    failed |= edf_set_patientcode(writer->handle, "SIM");
    failed |= edf_set_patientname(writer->handle, "Invented patient");
    failed |= edf_set_equipment(writer->handle, "Evenkeel training simulator");
    failed |= edf_set_startdatetime(writer->handle, 2000, 1, 1, 0, 0, 0);
    failed |= edf_set_number_of_annotation_signals(writer->handle, ANNOTATION_SIGNALS);
    return failed == 0;
}

EdfWriter *sim_edf_open(const char *path, Error *error) {
    /* the usual checks of a file to be made, and its name aside */
    Output output;
    if (sim_output_open(&output, path, error) != ERROR_OK) return NULL;
    bool special = output.standard || strcmp(output.path, output.aside) == 0;
    EdfWriter *writer = special ? NULL : calloc(1, sizeof *writer);
    if (writer != NULL) {
        memcpy(writer->path, output.path, sizeof writer->path);
        memcpy(writer->aside, output.aside, sizeof writer->aside);
    }
    sim_output_drop(&output);
    if (special) {
        refuse(path, "a recording of waveforms needs a file of its own", error);
        return NULL;
    }
    if (writer == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for the recording of waveforms");
        return NULL;
    }
    writer->handle = edfopen_file_writeonly(writer->aside, EDFLIB_FILETYPE_EDFPLUS, SIGNAL_COUNT);
    if (writer->handle >= 0 && describe(writer)) return writer;
    refuse(path, "cannot write file", error);
    sim_edf_drop(writer);
    return NULL;
}

static ErrorCode write_record(EdfWriter *writer, Error *error) {
    writer->filled = 0;
    if (edf_blockwrite_physical_samples(writer->handle, &writer->record[0][0]) == 0) return ERROR_OK;
    return refuse(writer->path, "cannot write waveforms", error);
}

static double signal_at(int signal, const Beat *beat, const Trace *trace, int tick) {
    const SignalRow *row = &SIGNALS[signal];
    double value = NAN;
    if (signal >= TRACE_COUNT)
        value = *(const double *)(const void *)((const char *)&beat->samples[tick] + row->offset);
    else if (tick < trace->ticks)
        value = trace->value[signal][tick];
    return isfinite(value) ? fmin(fmax(value, row->low), row->high) : row->low;
}

/* What was logged and the writer has not written yet. */
static ErrorCode annotate(EdfWriter *writer, const Session *session, Error *error) {
    for (int64_t count = sim_session_log_count(session); writer->log_written < count; writer->log_written++) {
        const LogEntry *entry = sim_session_log_entry(session, writer->log_written);
        if (entry == NULL) continue;
        char text[RECORDS_TEXT_MAX + CASE_ID_MAX + 4];
        snprintf(text, sizeof text, "%s%s%s", entry->from,
                 entry->from[0] != '\0' && entry->text[0] != '\0' ? ": " : "", entry->text);
        size_t end = strlen(text) < ANNOTATION_BYTES ? strlen(text) : ANNOTATION_BYTES;
        while (end > 0 && ((unsigned char)text[end] & 0xC0u) == 0x80u)
            end--; /* not through the middle of a letter */
        text[end] = '\0';
        long long onset = llround((entry->time_s - writer->start_s) / ANNOTATION_UNIT_S);
        if (end == 0 || onset < 0) continue;
        if (edfwrite_annotation_utf8(writer->handle, onset, -1, text) != 0)
            return refuse(writer->path, "cannot write annotations", error);
    }
    return ERROR_OK;
}

ErrorCode sim_edf_beat(EdfWriter *writer, const Session *session, Error *error) {
    const Beat *beat = sim_session_beat(session);
    const Trace *trace = sim_session_trace(session);
    ErrorCode code = ERROR_OK;
    if (!writer->begun) writer->start_s = (double)beat->first_tick * BEAT_TICK_S;
    writer->begun = true;
    for (int tick = 0; code == ERROR_OK && tick < beat->ticks; tick++) {
        for (int i = 0; i < SIGNAL_COUNT; i++)
            writer->record[i][writer->filled] = signal_at(i, beat, trace, tick);
        if (++writer->filled == RATE_HZ) code = write_record(writer, error);
    }
    return code == ERROR_OK ? annotate(writer, session, error) : code;
}

/* Fills the record under way with its last sample. */
static ErrorCode complete(EdfWriter *writer, Error *error) {
    if (writer->filled == 0) return ERROR_OK;
    for (int i = 0; i < SIGNAL_COUNT; i++) {
        for (int k = writer->filled; k < RATE_HZ; k++)
            writer->record[i][k] = writer->record[i][writer->filled - 1];
    }
    return write_record(writer, error);
}

ErrorCode sim_edf_close(EdfWriter *writer, Error *error) {
    if (writer == NULL) return ERROR_OK;
    ErrorCode code = complete(writer, error);
    if (edfclose_file(writer->handle) != 0 && code == ERROR_OK)
        code = refuse(writer->path, "cannot complete file", error);
    writer->handle = -1;
    if (code == ERROR_OK && rename(writer->aside, writer->path) != 0)
        code = refuse(writer->path, "cannot give the file its name", error);
    if (code != ERROR_OK) unlink(writer->aside);
    free(writer);
    return code;
}

void sim_edf_drop(EdfWriter *writer) {
    if (writer == NULL) return;
    if (writer->handle >= 0) (void)edfclose_file(writer->handle);
    unlink(writer->aside);
    free(writer);
}
