/* Free practice: its place among the sheets, what it takes from the night and does to it. */
#include "ui/practice.h"

#include "sim/acts.h"
#include "sim/journal.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#define JOULE_PER_MMHG_ML                                                                                    \
    1.33322387415e-4 /* 1 mmHg = 133.322387415 Pa (NIST SP 811, 2008), 1 mL = 1e-6 m3                        \
                      */

enum { DOT_TICKS = 8 }; /* the dot moves 30 times a second, as the heart does */

typedef struct TruthRow {
    ObservableId id;
    const char *name;
    int decimals;
} TruthRow;

static const TruthRow TRUTHS[] = {
    {OBSERVABLE_art_mean_mmhg, "MAP", 0},
    {OBSERVABLE_systemic_flow_l_min, "Systemic flow", 2},
    {OBSERVABLE_pump_flow_l_min, "Pump, true", 2},
    {OBSERVABLE_pump_flow_shown_l_min, "Pump, shown", 2},
    {OBSERVABLE_native_flow_l_min, "Aortic valve", 2},
    {OBSERVABLE_la_mean_mmhg, "LA mean", 1},
    {OBSERVABLE_lv_edv_ml, "LV volume ED", 0},
    {OBSERVABLE_lv_esv_ml, "LV volume ES", 0},
    {OBSERVABLE_lv_edp_mmhg, "LV press. ED", 1},
    {OBSERVABLE_lv_ees_mmhg_ml, "LV Ees", 2},
    {OBSERVABLE_cvp_mmhg, "CVP", 1},
    {OBSERVABLE_pa_mean_mmhg, "PA mean", 1},
    {OBSERVABLE_rv_edv_ml, "RV volume ED", 0},
    {OBSERVABLE_rv_esv_ml, "RV volume ES", 0},
    {OBSERVABLE_rv_edp_mmhg, "RV press. ED", 1},
    {OBSERVABLE_rv_ees_mmhg_ml, "RV Ees", 2},
    {OBSERVABLE_septum_mm, "Septum right", 1},
    {OBSERVABLE_pericardial_mmhg, "Pericardium", 1},
    {OBSERVABLE_svr_wu, "SVR", 1},
    {OBSERVABLE_pvr_wu, "PVR", 1},
    {OBSERVABLE_suction_frac, "Inlet covered", 2},
    {OBSERVABLE_blood_volume_ml, "Blood", 0},
};

/* A value in the unit the settings want; `unit` "fraction" is not written. */
static void add_truth(PracticeView *p, const Settings *settings, const char *name, double value, int decimals,
                      const char *unit) {
    if (p->truths == PRACTICE_TRUTHS_MAX) return;
    PracticeTruth *truth = &p->truth[p->truths++];
    ShownUnit shown = ui_units_shown(settings, NULL, unit);
    snprintf(truth->name, sizeof truth->name, "%s", name);
    snprintf(truth->unit, sizeof truth->unit, "%s", strcmp(unit, "fraction") == 0 ? "" : shown.name);
    value *= shown.factor;
    if (fabs(value) >= 1000.0)
        snprintf(truth->value, sizeof truth->value, "%.0f", value);
    else
        ui_tiles_format(truth->value, sizeof truth->value, value, decimals + shown.more_decimals);
}

static void fill_truth(PracticeView *p, const Settings *settings, const Beat *beat) {
    p->truths = 0;
    for (size_t i = 0; i < sizeof TRUTHS / sizeof TRUTHS[0]; i++)
        add_truth(p, settings, TRUTHS[i].name, model_observables_get(&beat->observables, TRUTHS[i].id),
                  TRUTHS[i].decimals, model_observables_row(TRUTHS[i].id)->unit);
    add_truth(p, settings, "LV work", JOULE_PER_MMHG_ML * ui_loops_work(&p->loop[0].now), 2, "J");
    add_truth(p, settings, "RV work", JOULE_PER_MMHG_ML * ui_loops_work(&p->loop[1].now), 2, "J");
}

static void practice_open(void *state, SheetContext *context) {
    PracticeView *p = state;
    if (context->feed == NULL || !sim_session_case(ui_feed_session(context->feed))->practice) {
        context->close = true;
        return;
    }
    p->told[0] = p->entry[0] = '\0';
    if (p->begun) return;
    const Case *file = sim_session_case(ui_feed_session(context->feed));
    p->begun = true;
    p->start = file->patient.parameters;
    snprintf(p->person, sizeof p->person, "%s", file->patient.base);
    p->loop[0].chamber = CHAMBER_LV;
    p->loop[1].chamber = CHAMBER_RV;
    p->loop[0].side = SIDE_LEFT;
    p->loop[1].side = SIDE_RIGHT;
    snprintf(p->loop[0].title, sizeof p->loop[0].title, "Left ventricle");
    snprintf(p->loop[1].title, sizeof p->loop[1].title, "Right ventricle");
    ParameterId rows[PARAMETER_COUNT];
    if (ui_practice_rows(p, rows) > 0) p->focus = rows[0];
    p->beat_tick = -1;
}

static void practice_fill(void *state, SheetContext *context) {
    PracticeView *p = state;
    const Session *session = ui_feed_session(context->feed);
    const Beat *beat = sim_session_beat(session);
    p->time_s = ui_feed_shown_s(context->feed);
    p->paused = ui_feed_paused(context->feed);
    p->rate_x = ui_feed_rate_now(context->feed);
    p->now = *sim_session_parameters(session);
    if (beat->ticks == 0) return;
    if (beat->first_tick != p->beat_tick) {
        LoopSurroundings around;
        ui_feed_clots(context->feed, around.clot_ml);
        for (int i = 0; i < 2; i++) {
            ui_loops_take(&p->loop[i], beat, &p->now, &around);
            if (p->loop[i].kept.points == 0) p->loop[i].kept = p->loop[i].now;
            ui_loops_axes(&p->loop[i]);
        }
        p->beat_tick = beat->first_tick;
        fill_truth(p, ui_feed_settings_now(context->feed), beat);
    }
    int at = ui_feed_sample_now(context->feed);
    p->loop[0].at = p->loop[1].at = at - at % DOT_TICKS;
}

static void practice_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    ui_practice_draw(ui, screen, state, intents);
}

/* Carries out every pending change; the loops of this moment are kept to compare with. */
static void set_pending(PracticeView *p, Feed *feed) {
    int done = 0;
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        if (!p->pending[i]) continue;
        Act act = {.id = ACT_set,
                   .parameter = (ParameterId)i,
                   .value = p->wanted[i],
                   .over_s = ui_practice_over_s(p->over)};
        char words[ACT_TEXT_MAX];
        Error error;
        model_error_clear(&error);
        sim_acts_format(&act, words, sizeof words);
        if (ui_feed_say(feed, words, &error) != ERROR_OK) {
            model_error_format(&error, p->told, sizeof p->told);
            break;
        }
        p->pending[i] = false;
        done++;
    }
    p->entry[0] = '\0';
    if (done == 0) return;
    ui_practice_change(p, &(Intent){.kind = INTENT_PART, .number = PRACTICE_PART_KEEP});
    char over[TEXT_SHORT];
    ui_practice_over_text(p->over, over, sizeof over);
    if (p->pendings == 0)
        snprintf(p->told, sizeof p->told, "%d changed %s; the loops before are dashed", done, over);
}

/* Writes the changed keys beside the recorded nights and says where. */
static void save(PracticeView *p) {
    Error error;
    model_error_clear(&error);
    char folder[JOURNAL_PATH_MAX], path[JOURNAL_PATH_MAX + TEXT_LINE + 64];
    ErrorCode code = sim_journal_folder(folder, sizeof folder, &error);
    if (code == ERROR_OK) {
        snprintf(path, sizeof path, "%s/practice-%s-%ld.yaml", folder, p->person, (long)time(NULL));
        FILE *out = fopen(path, "w");
        if (out == NULL) {
            code = model_error_set(&error, ERROR_FILE_WRITE, "cannot write %.200s", path);
        } else {
            ui_practice_snippet(p, out);
            bool failed = ferror(out) != 0;
            if (fclose(out) != 0 || failed)
                code = model_error_set(&error, ERROR_FILE_WRITE, "cannot write %.200s", path);
        }
    }
    if (code == ERROR_OK)
        snprintf(p->told, sizeof p->told, "written: %.150s\nin %.450s", path + strlen(folder) + 1, folder);
    else
        model_error_format(&error, p->told, sizeof p->told);
}

static void practice_apply(void *state, SheetContext *context, const Intent *intent) {
    PracticeView *p = state;
    if (intent->number == PRACTICE_PART_SET)
        set_pending(p, context->feed);
    else if (intent->number == PRACTICE_PART_SAVE)
        save(p);
    else
        ui_practice_change(p, intent);
}

const SheetKind UI_PRACTICE_SHEET = {.state_size = sizeof(PracticeView),
                                     .open = practice_open,
                                     .fill = practice_fill,
                                     .draw = practice_draw,
                                     .apply = practice_apply};
