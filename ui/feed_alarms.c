/* Alarms of the bedside view: the strip, the marks on numbers, acts on them, what is to be heard. */
#include "ui/feed_parts.h"
#include "ui/units.h"

#include <stdio.h>
#include <string.h>

/* Where an alarm is marked that watches no number, or one without a place of its own; and its word there. */
typedef struct AlarmPlace {
    AlarmId id;
    DisplayId display;
    const char *word;
} AlarmPlace;

static const AlarmPlace PLACES[] = {
    {ALARM_fibrillation, DISPLAY_hr_per_min, "VF"},
    {ALARM_asystole, DISPLAY_hr_per_min, "flat"},
    {ALARM_wide_fast, DISPLAY_hr_per_min, "VT"},
    {ALARM_left_pump_no_power, DISPLAY_pump_flow_l_min, "stop"},
    {ALARM_left_pump_no_power, DISPLAY_pump_rpm, "stop"},
    {ALARM_left_pump_stopped, DISPLAY_pump_flow_l_min, "stop"},
    {ALARM_left_pump_stopped, DISPLAY_pump_rpm, "stop"},
    {ALARM_suction, DISPLAY_pump_flow_l_min, "dips"},
    {ALARM_right_pump_stopped, DISPLAY_right_pump_rpm, "stop"},
    {ALARM_art_no_reading, DISPLAY_art_mean_mmhg, "lost"},
    {ALARM_art_sys_low, DISPLAY_art_mean_mmhg, "sys"},
    {ALARM_art_sys_high, DISPLAY_art_mean_mmhg, "sys"},
    {ALARM_art_dia_low, DISPLAY_art_mean_mmhg, "dia"},
    {ALARM_cvp_no_reading, DISPLAY_cvp_mmhg, "lost"},
    {ALARM_pa_no_reading, DISPLAY_pa_mean_mmhg, "lost"},
    {ALARM_spo2_no_reading, DISPLAY_spo2_percent, "lost"},
};

/* The word of an alarm at a number; NULL if it is not marked there. */
static const char *word_at(AlarmId id, DisplayId display) {
    const AlarmRow *row = sim_alarms_row(id);
    if (row->display == display) return row->side == ALARM_SIDE_LOW ? "low" : "high";
    for (size_t i = 0; i < sizeof PLACES / sizeof PLACES[0]; i++) {
        if (PLACES[i].id == id && PLACES[i].display == display) return PLACES[i].word;
    }
    return NULL;
}

void ui_feed_mark(const Feed *feed, DisplayId display, Reading *r) {
    AlarmShown shown[ALARM_COUNT];
    int count = sim_alarms_list(sim_session_alarms(feed->session), shown, ALARM_COUNT);
    r->priority = 0;
    for (int i = 0; i < count; i++) {
        const char *word = word_at(shown[i].id, display);
        if (word == NULL) continue;
        r->priority = (int)sim_alarms_row(shown[i].id)->priority;
        r->known = shown[i].phase == ALARM_ACKNOWLEDGED;
        snprintf(r->mark, sizeof r->mark, "%s", word);
        const AlarmRow *row = sim_alarms_row(shown[i].id);
        if (row->display == display) r->limit = row->side == ALARM_SIDE_LOW ? LIMIT_LOW : LIMIT_HIGH;
        return;
    }
}

static void since_text(double since_s, char *text, size_t size) {
    long s = since_s > 0.0 ? (long)since_s : 0;
    if (s < 3600)
        snprintf(text, size, "%ld:%02ld", s / 60, s % 60);
    else
        snprintf(text, size, "%ld h %02ld", s / 3600, s / 60 % 60);
}

/* "58 mmHg, limit 60 \u00b7 0:48": the time since it was told. */
static void fill_detail(const Feed *feed, const AlarmShown *shown, double time_s, AlarmLine *line) {
    const AlarmRow *row = sim_alarms_row(shown->id);
    const AlarmsState *alarms = sim_session_alarms(feed->session);
    char since[TEXT_SHORT];
    since_text(time_s - shown->told_s, since, sizeof since);
    if (row->side == ALARM_SIDE_SIGN) {
        snprintf(line->detail, sizeof line->detail, "%.16s, %.70s", since, row->text);
        return;
    }
    const DisplayRow *number = sim_instruments_display_row(row->display);
    const Display *display = sim_session_display(feed->session);
    char value[TEXT_SHORT] = "\u2013 \u2013", limit[TEXT_SHORT];
    int decimals = number->decimals < 0 ? 0 : number->decimals;
    if (display->valid[row->display])
        ui_units_format(&feed->settings, number->key, number->unit, decimals, display->value[row->display],
                        value, sizeof value);
    ui_units_format(&feed->settings, number->key, number->unit, decimals, alarms->limits.value[shown->id],
                    limit, sizeof limit);
    ShownUnit unit = ui_units_shown(&feed->settings, number->key, number->unit);
    const char *name = strcmp(unit.name, "ratio") == 0   ? ""
                       : strcmp(unit.name, "1/min") == 0 ? "/min"
                                                         : unit.name;
    snprintf(line->detail, sizeof line->detail, "%.20s%s%.12s, limit %.20s \u00b7 %.16s", value,
             name[0] == '/' || name[0] == '\0' ? "" : " ", name, limit, since);
}

void ui_feed_alarms(Feed *feed, AlarmStrip *strip) {
    const AlarmsState *alarms = sim_session_alarms(feed->session);
    double time_s = sim_session_time_s(feed->session);
    AlarmShown shown[ALARM_COUNT];
    memset(strip, 0, sizeof *strip);
    strip->count = sim_alarms_list(alarms, shown, ALARM_COUNT);
    strip->pause_left_s = sim_alarms_pause_left_s(alarms, time_s);
    strip->silent = !ui_settings_on(&feed->settings, SETTING_sound) || feed->no_device;
    /* a new alarm brings the list back to its beginning */
    if (alarms->told_count > feed->alarms_walked_told || feed->alarms_walked >= strip->count)
        feed->alarms_walked = 0;
    strip->first = feed->alarms_walked + 1;
    for (int i = 0; i < strip->count && i < ALARM_LINES_MAX; i++) {
        const AlarmShown *one = &shown[(feed->alarms_walked + i) % strip->count];
        AlarmLine *line = &strip->line[strip->lines++];
        *line = (AlarmLine){.id = (int)one->id,
                            .priority = (int)sim_alarms_row(one->id)->priority,
                            .known = one->phase == ALARM_ACKNOWLEDGED,
                            .over = one->phase == ALARM_LATCHED};
        snprintf(line->text, sizeof line->text, "%s", sim_alarms_row(one->id)->label);
        fill_detail(feed, one, time_s, line);
    }
}

void ui_feed_alarm_seen(Feed *feed, int id) {
    const AlarmsState *alarms = sim_session_alarms(feed->session);
    char words[ALARM_TEXT_MAX];
    AlarmAct act = {.kind = ALARM_ACT_ACKNOWLEDGE,
                    .id = id < 0 || id >= ALARM_COUNT ? ALARM_COUNT : (AlarmId)id};
    Error error;
    model_error_clear(&error);
    sim_alarms_format(&act, words, sizeof words);
    if (ui_feed_say(feed, words, &error) == ERROR_OK) return;
    /* nothing waits to be acknowledged: on to the next one */
    feed->alarms_walked++;
    feed->alarms_walked_told = alarms->told_count;
    feed->numbers_now = true;
}

void ui_feed_alarm_pause(Feed *feed) {
    const AlarmsState *alarms = sim_session_alarms(feed->session);
    bool paused = sim_alarms_pause_left_s(alarms, sim_session_time_s(feed->session)) > 0.0;
    Error error;
    model_error_clear(&error);
    (void)!ui_feed_say(feed, paused ? "pause end" : "pause",
                       &error); /* refused only when the night is over */
}

void ui_feed_no_sound(Feed *feed) {
    feed->no_device = true;
}

SoundInputs ui_feed_sounds(const Feed *feed) {
    const AlarmsState *alarms = sim_session_alarms(feed->session);
    return (SoundInputs){.priority = (int)sim_alarms_sounding(alarms, sim_session_time_s(feed->session)),
                         .told = alarms->told_count,
                         .time_rate = feed->rate,
                         .halted = feed->paused || !ui_settings_on(&feed->settings, SETTING_sound)};
}
