/* `evenkeel ramp CASE`: a speed ramp as a table and a plot. */
#include "sim/cli_commands.h"
#include "sim/csv.h"
#include "sim/output.h"
#include "sim/progress.h"
#include "sim/ramp.h"
#include "sim/svg_plot.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

enum { FROM, TO, STEP, DWELL, SET, CSV, SVG, SEED, ROWS };

static const double DWELL_STANDARD_S = 120.0; /* a 2 min pause after each step is usual before reading */
/* steps of published ramps: 400 rpm with axial pumps, 100 rpm with the slower centrifugal ones */
static const double AXIAL_STEP_RPM = 400.0, CENTRIFUGAL_STEP_RPM = 100.0, AXIAL_FROM_RPM = 6000.0;
static const double MM_PER_CM = 10.0;

static const OptionRow ROW_TABLE[ROWS] = {
    [FROM] = {"from", "RPM", OPTION_NUMBER, 0, 14000, true, "first speed"},
    [TO] = {"to", "RPM", OPTION_NUMBER, 0, 14000, true, "last speed"},
    [STEP] = {"step", "RPM", OPTION_NUMBER, 1, 14000, true, "between two speeds"},
    [DWELL] = {"dwell", "DUR", OPTION_DURATION, 10, 3600, false, "time at each speed; 2min if not given"},
    [SET] = {"set", "KEY=VALUE", OPTION_LIST, 0, 0, false, "change a parameter of the patient"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false, "all means of each step as a table"},
    [SVG] = {"svg", "FILE|-", OPTION_TEXT, 0, 0, false, "plot of the ramp"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false, "seed of all that is random"},
};

/* Columns of the table on the screen. */
static const struct {
    const char *head, *unit;
    ObservableId id;
    int decimals;
    double factor;
} COLUMNS[] = {
    {"flow", "L/min", OBSERVABLE_systemic_flow_l_min, 2, 1},
    {"pump", "L/min", OBSERVABLE_pump_flow_l_min, 2, 1},
    {"MAP", "mmHg", OBSERVABLE_art_mean_mmhg, 0, 1},
    {"CVP", "mmHg", OBSERVABLE_cvp_mmhg, 1, 1},
    {"wedge", "mmHg", OBSERVABLE_wedge_mmhg, 1, 1},
    {"PA", "mmHg", OBSERVABLE_pa_mean_mmhg, 1, 1},
    {"LV EDD", "mm", OBSERVABLE_lv_edd_mm, 1, 1},
    {"LV EDV", "mL", OBSERVABLE_lv_edv_ml, 0, 1},
    {"RV EDD", "mm", OBSERVABLE_rv_edd_mm, 1, 1},
    {"septum", "mm", OBSERVABLE_septum_mm, 1, 1},
    {"MR", "%", OBSERVABLE_mr_frac, 0, 100},
    {"valve", "% beats", OBSERVABLE_aortic_valve_open_frac, 0, 100},
    {"suction", "%", OBSERVABLE_suction_frac, 0, 100},
    {"power", "W", OBSERVABLE_pump_power_w, 1, 1},
};

enum { COLUMN_COUNT = sizeof COLUMNS / sizeof COLUMNS[0], COLUMN_WIDTH = 8, CELL_MAX = 40 };

/* What the slopes are given for. */
static const struct {
    const char *head, *unit;
    ObservableId id;
    int decimals;
} SLOPES[] = {
    {"flow", "L/min", OBSERVABLE_systemic_flow_l_min, 2},
    {"wedge", "mmHg", OBSERVABLE_wedge_mmhg, 2},
    {"CVP", "mmHg", OBSERVABLE_cvp_mmhg, 2},
    {"LV EDD", "mm", OBSERVABLE_lv_edd_mm, 2},
    {"septum", "mm", OBSERVABLE_septum_mm, 2},
};

enum { SLOPE_COUNT = sizeof SLOPES / sizeof SLOPES[0] };

/* A number with its sign. */
static void format_change(char *text, size_t size, double change, int decimals) {
    char plain[CELL_MAX / 2];
    sim_csv_format(plain, sizeof plain, change, decimals);
    snprintf(text, size, "%s%s", plain[0] != '-' && plain[0] != '\0' ? "+" : "", plain);
}

static void print_table(const RampResult *result) {
    char text[CELL_MAX];
    printf("%*s", COLUMN_WIDTH, "speed");
    for (int c = 0; c < COLUMN_COUNT; c++)
        printf("%*s", COLUMN_WIDTH, COLUMNS[c].head);
    printf("\n%*s", COLUMN_WIDTH, "rpm");
    for (int c = 0; c < COLUMN_COUNT; c++)
        printf("%*s", COLUMN_WIDTH, COLUMNS[c].unit);
    putchar('\n');
    for (int i = 0; i < result->count; i++) {
        printf("%*.0f", COLUMN_WIDTH, result->steps[i].speed_rpm);
        for (int c = 0; c < COLUMN_COUNT; c++) {
            double value = model_observables_get(&result->steps[i].means, COLUMNS[c].id) * COLUMNS[c].factor;
            sim_csv_format(text, sizeof text, value, COLUMNS[c].decimals);
            printf("%*s", COLUMN_WIDTH, text[0] != '\0' ? text : "--");
        }
        putchar('\n');
    }
}

static void print_slopes(const RampResult *result) {
    char text[CELL_MAX], head[CELL_MAX];
    printf("\n%-*s", 2 * COLUMN_WIDTH, "change per step");
    for (int s = 0; s < SLOPE_COUNT; s++) {
        snprintf(head, sizeof head, "%s %s", SLOPES[s].head, SLOPES[s].unit);
        printf("%*s", 2 * COLUMN_WIDTH - 2, head);
    }
    putchar('\n');
    for (int i = 1; i < result->count; i++) {
        printf("%*.0f to %*.0f", COLUMN_WIDTH - 2, result->steps[i - 1].speed_rpm, COLUMN_WIDTH - 2,
               result->steps[i].speed_rpm);
        for (int s = 0; s < SLOPE_COUNT; s++) {
            double change = model_observables_get(&result->steps[i].means, SLOPES[s].id) -
                            model_observables_get(&result->steps[i - 1].means, SLOPES[s].id);
            format_change(text, sizeof text, change, SLOPES[s].decimals);
            printf("%*s", 2 * COLUMN_WIDTH - 2, text);
        }
        putchar('\n');
    }
    if (result->count >= 2) {
        const bool axial = result->steps[0].speed_rpm >= AXIAL_FROM_RPM;
        const double per_rpm = axial ? AXIAL_STEP_RPM : CENTRIFUGAL_STEP_RPM;
        snprintf(head, sizeof head, "fit, per %.0f rpm", per_rpm);
        printf("%-*s", 2 * COLUMN_WIDTH, head);
        for (int s = 0; s < SLOPE_COUNT; s++) {
            format_change(text, sizeof text, per_rpm * sim_ramp_slope(result, SLOPES[s].id),
                          SLOPES[s].decimals);
            printf("%*s", 2 * COLUMN_WIDTH - 2, text);
        }
        putchar('\n');
        const double slope_cm = per_rpm * sim_ramp_slope(result, OBSERVABLE_lv_edd_mm) / MM_PER_CM;
        printf("\nLeft ventricular diameter: %+.2f cm per %.0f rpm.", slope_cm, per_rpm);
        if (axial)
            printf(" Published, axial pumps: -0.25 +- 0.11 without fault,\n-0.16 or flatter with an "
                   "obstruction; a leaking "
                   "aortic valve or MAP of 85 and more\nflatten it too (Uriel 2012, Adatya 2015).");
        putchar('\n');
    }
    printf("\nThe ramp ended: %s.\n", result->reason);
}

static void write_csv(const RampResult *result, FILE *out) {
    CsvWriter csv = sim_csv_begin(out);
    sim_csv_text(&csv, "speed_rpm");
    for (int o = 0; o < OBSERVABLE_COUNT; o++)
        sim_csv_text(&csv, model_observables_row((ObservableId)o)->key);
    sim_csv_end_row(&csv);
    for (int i = 0; i < result->count; i++) {
        sim_csv_number(&csv, result->steps[i].speed_rpm);
        for (int o = 0; o < OBSERVABLE_COUNT; o++)
            sim_csv_quantity(&csv, model_observables_get(&result->steps[i].means, (ObservableId)o),
                             model_observables_row((ObservableId)o)->unit);
        sim_csv_end_row(&csv);
    }
}

/* What each panel of the plot shows. */
static const struct {
    const char *title;
    double factor;
    struct {
        const char *name;
        ObservableId id;
        SvgStyle style;
    } series[3];
    size_t count;
} PANELS[] = {
    {"Flow, L/min",
     1,
     {{"total", OBSERVABLE_systemic_flow_l_min, SVG_LEFT},
      {"pump", OBSERVABLE_pump_flow_l_min, SVG_PUMP},
      {"valve", OBSERVABLE_native_flow_l_min, SVG_NEUTRAL}},
     3},
    {"Filling, mmHg",
     1,
     {{"wedge", OBSERVABLE_wedge_mmhg, SVG_LEFT},
      {"CVP", OBSERVABLE_cvp_mmhg, SVG_RIGHT},
      {"PA mean", OBSERVABLE_pa_mean_mmhg, SVG_NEUTRAL}},
     3},
    {"MAP, mmHg", 1, {{"MAP", OBSERVABLE_art_mean_mmhg, SVG_LEFT}}, 1},
    {"End-diastolic diameter, mm",
     1,
     {{"LV", OBSERVABLE_lv_edd_mm, SVG_LEFT}, {"RV", OBSERVABLE_rv_edd_mm, SVG_RIGHT}},
     2},
    {"End-diastolic volume, mL",
     1,
     {{"LV", OBSERVABLE_lv_edv_ml, SVG_LEFT}, {"RV", OBSERVABLE_rv_edv_ml, SVG_RIGHT}},
     2},
    {"Septum, mm toward the RV", 1, {{"septum", OBSERVABLE_septum_mm, SVG_NEUTRAL}}, 1},
    {"Regurgitant fraction, %",
     100,
     {{"mitral", OBSERVABLE_mr_frac, SVG_LEFT}, {"tricuspid", OBSERVABLE_tr_frac, SVG_RIGHT}},
     2},
    {"Aortic valve opens, % of beats", 100, {{"valve", OBSERVABLE_aortic_valve_open_frac, SVG_LEFT}}, 1},
    {"Suction, % of the inlet shut", 100, {{"suction", OBSERVABLE_suction_frac, SVG_PUMP}}, 1},
};

enum { PANEL_COUNT = sizeof PANELS / sizeof PANELS[0], PLOT_COLUMNS = 3 };

/* x and y of one line of the plot. */
typedef struct Curve {
    double x[RAMP_STEPS_MAX], y[RAMP_STEPS_MAX];
} Curve;

static ErrorCode write_svg(const RampResult *result, const Case *case_file, FILE *out, Error *error) {
    Curve *curves = calloc(PANEL_COUNT * SVG_PLOT_SERIES_MAX, sizeof *curves);
    if (curves == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the plot");
    char subtitle[RAMP_REASON_MAX + 32];
    snprintf(subtitle, sizeof subtitle, "The ramp ended: %s.", result->reason);
    SvgPlot plot = {.title = case_file->title,
                    .subtitle = subtitle,
                    .x_title = "pump speed, rpm",
                    .footer = "Simulated. For education only; local protocols and licensed practice decide.",
                    .panel_count = PANEL_COUNT,
                    .columns = PLOT_COLUMNS};
    if (result->stopped) {
        plot.mark_text = "stop";
        plot.mark_x = result->steps[result->count - 1].speed_rpm;
    }
    for (int p = 0; p < PANEL_COUNT; p++) {
        plot.panels[p].title = PANELS[p].title;
        plot.panels[p].series_count = PANELS[p].count;
        for (size_t s = 0; s < PANELS[p].count; s++) {
            Curve *curve = &curves[(size_t)p * SVG_PLOT_SERIES_MAX + s];
            for (int i = 0; i < result->count; i++) {
                curve->x[i] = result->steps[i].speed_rpm;
                curve->y[i] =
                    PANELS[p].factor * model_observables_get(&result->steps[i].means, PANELS[p].series[s].id);
            }
            plot.panels[p].series[s] = (SvgSeries){.name = PANELS[p].series[s].name,
                                                   .x = curve->x,
                                                   .y = curve->y,
                                                   .count = (size_t)result->count,
                                                   .style = PANELS[p].series[s].style};
        }
    }
    sim_svg_plot_write(&plot, out);
    free(curves);
    return ERROR_OK;
}

static void show_progress(void *context, double done) {
    sim_progress_show(context, done);
}

static ErrorCode run_ramp(const CliCall *call, const Case *case_file, RampResult *result, Error *error) {
    const OptionValue *values = call->values;
    SessionOptions options = sim_session_options_none();
    Parameters parameters = case_file->patient.parameters;
    ErrorCode code = ERROR_OK;
    for (size_t i = 0; code == ERROR_OK && i < values[SET].count; i++)
        code = sim_cli_read_set(values[SET].list[i], &options, error);
    for (int i = 0; code == ERROR_OK && i < options.set_count; i++)
        code = model_parameters_set(&parameters, options.sets[i].id, options.sets[i].value, error);
    if (code != ERROR_OK) return code;
    RampPlan plan = {.from_rpm = values[FROM].number,
                     .to_rpm = values[TO].number,
                     .step_rpm = values[STEP].number,
                     .dwell_s = values[DWELL].given ? values[DWELL].number : DWELL_STANDARD_S,
                     .settle_s = case_file->patient.settle_s,
                     .seed = values[SEED].given ? (uint64_t)values[SEED].number : case_file->seed};
    Progress progress = sim_progress_start("ramp");
    code = sim_ramp_run(&parameters, &plan, result, show_progress, &progress, error);
    sim_progress_end(&progress);
    return code;
}

/* The files of a ramp; opened before it is played, so that a long ramp is not lost to a mistyped folder. */
typedef struct RampFiles {
    Output csv, svg;
} RampFiles;

static ErrorCode open_files(const CliCall *call, const Case *case_file, RampFiles *files, Error *error) {
    const OptionValue *values = call->values;
    const CliFile used[] = {{"the case", case_file->path, false},
                            {"--csv", values[CSV].text, true},
                            {"--svg", values[SVG].text, true}};
    ErrorCode code = sim_cli_check_files(used, sizeof used / sizeof used[0], error);
    if (code == ERROR_OK && values[CSV].given) code = sim_output_open(&files->csv, values[CSV].text, error);
    if (code == ERROR_OK && values[SVG].given) code = sim_output_open(&files->svg, values[SVG].text, error);
    return code;
}

/* The table on the screen, unless standard output is taken, and the files. */
static ErrorCode write_result(const RampResult *result, const Case *case_file, RampFiles *files,
                              Error *error) {
    ErrorCode code = ERROR_OK;
    if (!files->csv.standard && !files->svg.standard) {
        printf("%s: %s\n\n", case_file->id, case_file->title);
        print_table(result);
        print_slopes(result);
    }
    if (files->csv.file != NULL) write_csv(result, files->csv.file);
    if (files->svg.file != NULL) code = write_svg(result, case_file, files->svg.file, error);
    if (code == ERROR_OK) code = sim_output_close(&files->csv, error);
    if (code == ERROR_OK) code = sim_output_close(&files->svg, error);
    return code;
}

static ErrorCode ramp_case(const CliCall *call, Error *error) {
    Case *case_file = NULL;
    RampFiles files = {.csv = {.file = NULL}};
    ErrorCode code = sim_cli_load_case(call->operands[0], &case_file, error);
    if (code != ERROR_OK) return code;
    RampResult *result = calloc(1, sizeof *result);
    if (result == NULL) code = model_error_set(error, ERROR_MEMORY, "no memory for the ramp");
    if (code == ERROR_OK) code = open_files(call, case_file, &files, error);
    if (code == ERROR_OK) code = run_ramp(call, case_file, result, error);
    if (code == ERROR_OK) code = write_result(result, case_file, &files, error);
    sim_output_drop(&files.csv);
    sim_output_drop(&files.svg);
    free(result);
    sim_case_free(case_file);
    return code;
}

const CliCommand SIM_CLI_RAMP = {
    .name = "ramp",
    .operands = "CASE --from RPM --to RPM --step RPM",
    .operand_min = 1,
    .operand_max = 1,
    .text = "a speed ramp: table and plot",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = ramp_case,
};
