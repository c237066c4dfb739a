/* The alarm engine rule by rule, on numbers and waveforms made here. */
#include "sim/alarms.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

#define BEAT_S 0.8

enum { TICKS = 200 };

static AlarmsState state;
static AlarmEffects effects;
static Display display;
static Trace trace; /* static: large */
static SignsDevices devices;
static double time_s;
static int begun, ended, acknowledged, broken;
static AlarmId last_begun;
static Error error;

/* A narrow complex 40 ms after the onset, and a flow that swings between 2.5 and 6 L/min. */
static void draw_normal(void) {
    const double pi = 3.141592653589793;
    trace.ticks = TICKS;
    for (int i = 0; i < TICKS; i++) {
        double x = (i * BEAT_TICK_S - 0.04) / 0.01;
        trace.value[TRACE_ECG][i] = 1.1 * exp(-0.5 * x * x);
        trace.value[TRACE_PUMP_FLOW][i] = 4.25 + 1.75 * cos(2 * pi * i / TICKS);
    }
}

static void show(DisplayId id, double value) {
    display.value[id] = value;
    display.valid[id] = true;
}

static void setup(void) {
    AlarmLimits limits = sim_alarms_limits_standard();
    memset(&display, 0, sizeof display);
    memset(&trace, 0, sizeof trace);
    draw_normal();
    devices = (SignsDevices){.left_present = true, .left_supplied = true};
    show(DISPLAY_hr_per_min, 75);
    show(DISPLAY_art_sys_mmhg, 85);
    show(DISPLAY_art_dia_mmhg, 65);
    show(DISPLAY_art_mean_mmhg, 72);
    show(DISPLAY_cvp_mmhg, 10);
    show(DISPLAY_pa_mean_mmhg, 22);
    show(DISPLAY_pump_rpm, 8600);
    show(DISPLAY_pump_flow_l_min, 4.2);
    show(DISPLAY_pump_power_w, 4.3);
    show(DISPLAY_spo2_percent, 98);
    show(DISPLAY_svo2_percent, 62);
    show(DISPLAY_airway_peak_cmh2o, 18);
    show(DISPLAY_respiratory_rate_per_min, 14);
    show(DISPLAY_temperature_c, 36.8);
    time_s = begun = ended = acknowledged = broken = 0;
    last_begun = ALARM_COUNT;
    sim_alarms_start(&state, &limits);
}

static void count_notes(void) {
    for (int i = 0; i < effects.note_count; i++) {
        if (effects.notes[i].kind == ALARM_NOTE_BEGIN) last_begun = effects.notes[i].id;
        begun += effects.notes[i].kind == ALARM_NOTE_BEGIN;
        ended += effects.notes[i].kind == ALARM_NOTE_END;
        acknowledged += effects.notes[i].kind == ALARM_NOTE_ACKNOWLEDGED;
        broken += effects.notes[i].kind == ALARM_NOTE_PAUSE_BROKEN;
    }
}

/* Plays `seconds` with what is on show now. */
static void play(double seconds) {
    for (double end_s = time_s + seconds - 1e-9; time_s < end_s;) {
        time_s += BEAT_S;
        sim_alarms_advance(&state, &trace, &display, &devices, time_s, &effects);
        count_notes();
    }
}

static ErrorCode act(const char *words) {
    AlarmAct read;
    const AlarmLimits standard = sim_alarms_limits_standard();
    ErrorCode code = sim_alarms_parse(words, &read, &error);
    if (code == ERROR_OK) code = sim_alarms_do(&state, &read, &standard, time_s, &effects, &error);
    if (code == ERROR_OK) count_notes();
    return code;
}

static int shown(AlarmShown list[ALARM_COUNT]) {
    return sim_alarms_list(&state, list, ALARM_COUNT);
}

START_TEST(alarms_calm_patient_none) {
    setup();
    play(3600);
    AlarmShown list[ALARM_COUNT];
    ck_assert_int_eq(begun, 0);
    ck_assert_int_eq(shown(list), 0);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_NONE);
}
END_TEST

START_TEST(alarms_low_number_tells_after_its_delay) {
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(29);
    ck_assert_int_eq(begun, 0);
    play(3);
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(last_begun, ALARM_art_mean_low);
    ck_assert_int_eq(state.phase[ALARM_art_mean_low], ALARM_ACTIVE);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_MEDIUM);
    ck_assert_int_eq(sim_alarms_of_display(&state, DISPLAY_art_mean_mmhg, NULL), ALARM_PRIORITY_MEDIUM);
    ck_assert_int_eq(sim_alarms_of_display(&state, DISPLAY_cvp_mmhg, NULL), ALARM_PRIORITY_NONE);
}
END_TEST

START_TEST(alarms_short_dip_is_not_told) {
    setup();
    for (int i = 0; i < 20; i++) {
        show(DISPLAY_art_mean_mmhg, 58);
        play(20);
        show(DISPLAY_art_mean_mmhg, 66);
        play(4);
    }
    ck_assert_int_eq(begun, 0);
}
END_TEST

START_TEST(alarms_chatter_at_the_limit_is_one_alarm) {
    /* hysteresis: 61 and 59 in turn never come back inside by the margin of 2 */
    setup();
    show(DISPLAY_art_mean_mmhg, 59);
    play(40);
    for (int i = 0; i < 60; i++) {
        show(DISPLAY_art_mean_mmhg, i % 2 == 0 ? 61 : 59);
        play(10);
    }
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(ended, 0);
    show(DISPLAY_art_mean_mmhg, 62);
    play(10);
    ck_assert_int_eq(ended, 1);
    ck_assert_int_eq(state.phase[ALARM_art_mean_low], ALARM_QUIET);
}
END_TEST

START_TEST(alarms_number_not_on_show_is_no_limit_alarm) {
    setup();
    show(DISPLAY_art_mean_mmhg, 30);
    display.valid[DISPLAY_art_mean_mmhg] = false;
    play(60);
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(last_begun, ALARM_art_no_reading);
}
END_TEST

START_TEST(alarms_acknowledged_stays_on_show_without_sound) {
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    ck_assert_int_eq(act("acknowledge"), ERROR_OK);
    ck_assert_int_eq(acknowledged, 1);
    play(60);
    ck_assert_int_eq(shown(list), 1);
    ck_assert_int_eq(list[0].phase, ALARM_ACKNOWLEDGED);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_NONE);
    ck_assert_int_eq(act("acknowledge"), ERROR_NOT_ALLOWED);
    show(DISPLAY_art_mean_mmhg, 70);
    play(10);
    ck_assert_int_eq(shown(list), 0);
    ck_assert_int_eq(ended, 1);
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    ck_assert_int_eq(begun, 2);
    ck_assert_int_eq(list[0].id, ALARM_art_mean_low);
}
END_TEST

START_TEST(alarms_not_latching_ends_by_itself) {
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    show(DISPLAY_art_mean_mmhg, 70);
    play(10);
    ck_assert_int_eq(shown(list), 0);
    ck_assert_int_eq(ended, 1);
}
END_TEST

START_TEST(alarms_pump_stop_latches_until_acknowledged) {
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_pump_rpm, 0);
    play(10);
    ck_assert_int_eq(last_begun, ALARM_left_pump_stopped);
    show(DISPLAY_pump_rpm, 8600);
    play(60);
    ck_assert_int_eq(shown(list), 1);
    ck_assert_int_eq(list[0].phase, ALARM_LATCHED);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_HIGH);
    ck_assert_int_eq(act("acknowledge left_pump_stopped"), ERROR_OK);
    ck_assert_int_eq(shown(list), 0);
    ck_assert_int_eq(ended, 1);
}
END_TEST

START_TEST(alarms_one_cause_is_told_once_by_its_worst) {
    /* the pump stops: no low-flow alarm besides, but a low arterial pressure is told */
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_pump_rpm, 0);
    display.valid[DISPLAY_pump_flow_l_min] = true;
    show(DISPLAY_pump_flow_l_min, 0);
    show(DISPLAY_svo2_percent, 40);
    show(DISPLAY_art_sys_mmhg, 60);
    show(DISPLAY_art_dia_mmhg, 40);
    show(DISPLAY_art_mean_mmhg, 55);
    play(900);
    ck_assert_int_eq(begun, 2);
    ck_assert_int_eq(shown(list), 2);
    ck_assert_int_eq(list[0].id, ALARM_left_pump_stopped);
    ck_assert_int_eq(list[1].id, ALARM_art_mean_low);
    ck_assert(state.covered[ALARM_pump_flow_very_low]);
    ck_assert(state.covered[ALARM_art_sys_low]);
    ck_assert(state.covered[ALARM_svo2_low]);
}
END_TEST

START_TEST(alarms_worse_in_the_group_is_told_anew_and_falls_back_quietly) {
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    ck_assert_int_eq(act("acknowledge"), ERROR_OK);
    show(DISPLAY_art_mean_mmhg, 46);
    play(60);
    ck_assert_int_eq(begun, 2);
    ck_assert_int_eq(last_begun, ALARM_art_mean_very_low);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_HIGH);
    ck_assert_int_eq(shown(list), 1);
    ck_assert_int_eq(act("acknowledge"), ERROR_OK);
    show(DISPLAY_art_mean_mmhg, 57);
    play(60);
    ck_assert_int_eq(begun, 2);
    ck_assert_int_eq(shown(list), 1);
    ck_assert_int_eq(list[0].id, ALARM_art_mean_low);
    ck_assert_int_eq(list[0].phase, ALARM_ACKNOWLEDGED);
}
END_TEST

START_TEST(alarms_all_well_again_tells_nothing_new) {
    setup();
    show(DISPLAY_art_mean_mmhg, 45);
    show(DISPLAY_art_sys_mmhg, 50);
    play(120);
    ck_assert_int_eq(begun, 1); /* the mean stands for the group */
    show(DISPLAY_art_mean_mmhg, 76);
    play(2);
    show(DISPLAY_art_sys_mmhg, 84); /* a little later than the mean */
    play(120);
    ck_assert_int_eq(begun, 1); /* the systolic pressure was low once, and is not now */
    ck_assert_int_eq(ended, 1);
}
END_TEST

START_TEST(alarms_covered_from_the_start_is_known_with_its_leader) {
    /* both begin together; the covered one was never told and does not begin to sound later */
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_art_mean_mmhg, 45);
    play(60);
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(act("acknowledge"), ERROR_OK);
    show(DISPLAY_art_mean_mmhg, 56);
    play(60);
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(shown(list), 1);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_NONE);
}
END_TEST

START_TEST(alarms_pause_silences_for_two_minutes) {
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    ck_assert_int_eq(act("pause"), ERROR_OK);
    ck_assert_double_eq_tol(sim_alarms_pause_left_s(&state, time_s), 120, 1e-9);
    play(60);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_NONE);
    ck_assert_double_eq_tol(sim_alarms_pause_left_s(&state, time_s), 60, BEAT_S + 1e-9);
    play(61);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_MEDIUM);
    ck_assert_int_eq(act("pause"), ERROR_OK);
    ck_assert_int_eq(act("pause end"), ERROR_OK);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_MEDIUM);
}
END_TEST

START_TEST(alarms_higher_priority_breaks_a_pause_lower_does_not) {
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    ck_assert_int_eq(act("pause"), ERROR_OK);
    show(DISPLAY_pump_flow_l_min, 2.3); /* low priority */
    play(70);
    ck_assert_int_eq(begun, 2);
    ck_assert_int_eq(broken, 0);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_NONE);
    show(DISPLAY_pump_rpm, 0); /* high */
    play(10);
    ck_assert_int_eq(broken, 1);
    ck_assert_double_eq_tol(sim_alarms_pause_left_s(&state, time_s), 0, 1e-9);
    ck_assert_int_eq(sim_alarms_sounding(&state, time_s), ALARM_PRIORITY_HIGH);
}
END_TEST

START_TEST(alarms_list_is_by_priority_then_newest) {
    AlarmShown list[ALARM_COUNT];
    setup();
    show(DISPLAY_pump_flow_l_min, 2.3);
    play(70);
    show(DISPLAY_art_mean_mmhg, 58);
    play(60);
    show(DISPLAY_hr_per_min, 140);
    play(60);
    display.valid[DISPLAY_hr_per_min] = false;
    play(10);
    ck_assert_int_eq(shown(list), 3);
    ck_assert_int_eq(list[0].id, ALARM_fibrillation);
    ck_assert_int_eq(list[1].id, ALARM_art_mean_low);
    ck_assert_int_eq(list[2].id, ALARM_pump_flow_low);
    ck_assert_int_eq(sim_alarms_list(&state, list, 1), 3);
}
END_TEST

START_TEST(alarms_limits_can_be_set_and_are_reset) {
    setup();
    ck_assert_int_eq(act("limit art_mean low 75"), ERROR_OK);
    ck_assert_double_eq_tol(state.limits.value[ALARM_art_mean_low], 75, 1e-12);
    play(40);
    ck_assert_int_eq(last_begun, ALARM_art_mean_low);
    ck_assert_int_eq(act("limit reset"), ERROR_OK);
    play(40);
    ck_assert_int_eq(ended, 1);
    ck_assert_double_eq_tol(state.limits.value[ALARM_art_mean_low], 60, 1e-12);
    ck_assert_int_eq(act("limit art_mean_mmhg low 55 mmHg"), ERROR_OK);
    ck_assert_int_eq(act("limit hr_high 140 1/min"), ERROR_OK);
    ck_assert_int_eq(act("limit hr_per_min high 135"), ERROR_OK);
    ck_assert_double_eq_tol(state.limits.value[ALARM_hr_high], 135, 1e-12);
    show(DISPLAY_art_mean_mmhg, 20);
    ck_assert_int_eq(act("limit art_mean_low off"), ERROR_OK);
    ck_assert_int_eq(act("limit art_mean_very_low off"), ERROR_OK);
    begun = 0;
    play(100);
    ck_assert_int_eq(begun, 0);
    ck_assert_int_eq(act("limit art_mean_low on"), ERROR_OK);
    play(60);
    ck_assert_int_eq(begun, 1);
}
END_TEST

START_TEST(alarms_refuse_what_cannot_be) {
    static const struct {
        const char *words;
        ErrorCode code;
        const char *allowed;
    } rows[] = {
        {"limit art_mean low 5", ERROR_RANGE, "40 to 90"},
        {"limit art_mean_high 70", ERROR_OK, ""},
        {"limit art_mean_low 75", ERROR_COMBINATION, "below 70"},
        {"limit art_mean_lw 60", ERROR_UNKNOWN_NAME, "art_mean_low"},
        {"limit asystole 3", ERROR_NOT_ALLOWED, ""},
        {"limit asystole off", ERROR_NOT_ALLOWED, ""},
        {"limit art_mean_low 60 cmH2O", ERROR_SYNTAX, "mmHg"},
        {"limit art_mean_low", ERROR_SYNTAX, "limit"},
        {"limit art_mean_low nan", ERROR_SYNTAX, ""},
        {"limit art_mean_low 60 mmHg now", ERROR_SYNTAX, "limit"},
        {"acknowledge suction", ERROR_NOT_ALLOWED, ""},
        {"acknowledge me", ERROR_UNKNOWN_NAME, ""},
        {"pause art", ERROR_SYNTAX, "pause"},
        {"", ERROR_SYNTAX, "pause"},
    };
    setup();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const AlarmsState before = state;
        model_error_clear(&error);
        ck_assert_msg(act(rows[i].words) == rows[i].code, "%s: %s", rows[i].words, error.what);
        ck_assert_msg(strstr(error.allowed, rows[i].allowed) != NULL, "%s: %s", rows[i].words, error.allowed);
        if (rows[i].code != ERROR_OK) ck_assert_mem_eq(&before, &state, sizeof state);
    }
}
END_TEST

START_TEST(alarms_acts_are_read_as_they_are_written) {
    for (int id = 0; id < ALARM_COUNT; id++) {
        const AlarmRow *row = sim_alarms_row((AlarmId)id);
        for (int kind = ALARM_ACT_ACKNOWLEDGE; kind <= ALARM_ACT_RESET; kind++) {
            AlarmAct written = {.kind = (AlarmActKind)kind, .id = (AlarmId)id, .value = row->standard}, read;
            bool limit = kind == ALARM_ACT_LIMIT || kind == ALARM_ACT_ON || kind == ALARM_ACT_OFF;
            char text[ALARM_TEXT_MAX];
            if (kind == ALARM_ACT_LIMIT && row->side == ALARM_SIDE_SIGN) continue;
            if (!limit && kind != ALARM_ACT_ACKNOWLEDGE) written.id = ALARM_COUNT;
            sim_alarms_format(&written, text, sizeof text);
            ck_assert_msg(sim_alarms_parse(text, &read, &error) == ERROR_OK, "%s: %s", text, error.what);
            ck_assert_int_eq(read.kind, written.kind);
            ck_assert_int_eq(read.id, written.id);
            if (kind == ALARM_ACT_LIMIT) ck_assert_double_eq_tol(read.value, written.value, 1e-9);
        }
    }
}
END_TEST

START_TEST(alarms_table_is_sound) {
    const AlarmLimits standard = sim_alarms_limits_standard();
    for (int id = 0; id < ALARM_COUNT; id++) {
        const AlarmRow *row = sim_alarms_row((AlarmId)id);
        ck_assert_int_eq(sim_alarms_find(row->key), id);
        ck_assert_int_eq(sim_alarms_find(row->stem), id);
        ck_assert(row->priority >= ALARM_PRIORITY_LOW && row->priority <= ALARM_PRIORITY_HIGH);
        ck_assert(row->text[0] != '\0' && row->source[0] != '\0' && strlen(row->label) < 24);
        ck_assert(row->delay_s >= 0 && row->delay_s <= 900);
        if (row->side == ALARM_SIDE_SIGN) continue;
        ck_assert_msg(sim_alarms_limit_check(&standard, (AlarmId)id, row->standard, &error) == ERROR_OK,
                      "%s: %s", row->key, error.what);
        ck_assert(row->least < row->most && row->step > 0 && row->back > 0);
        /* the unit of the number it watches stands at the key's end */
        const char *display_key = sim_instruments_display_row(row->display)->key;
        const char *unit = row->key + strlen(row->stem);
        bool same = strcmp(display_key + strlen(display_key) - strlen(unit), unit) == 0;
        ck_assert_msg(same || strcmp(unit, "_ratio") == 0, "%s", row->key);
        ck_assert_ptr_nonnull(strstr(row->stem, row->side == ALARM_SIDE_LOW ? "_low" : "_high"));
    }
}
END_TEST

START_TEST(alarms_same_course_from_a_copy) {
    /* replay equality: a copy of the state and the same numbers give the same bytes */
    setup();
    show(DISPLAY_art_mean_mmhg, 58);
    play(50);
    ck_assert_int_eq(act("pause"), ERROR_OK);
    static AlarmsState kept, later;
    double kept_s = time_s;
    memcpy(&kept, &state, sizeof state);
    for (int round = 0; round < 2; round++) {
        memcpy(&state, &kept, sizeof state);
        time_s = kept_s;
        show(DISPLAY_hr_per_min, 75);
        show(DISPLAY_art_mean_mmhg, 45);
        play(100);
        ck_assert_int_eq(act("acknowledge"), ERROR_OK);
        show(DISPLAY_hr_per_min, 150);
        play(100);
        if (round == 0) memcpy(&later, &state, sizeof state);
    }
    ck_assert_mem_eq(&later, &state, sizeof state);
}
END_TEST

START_TEST(alarms_rhythms_are_recognised_on_the_ecg) {
    setup();
    memset(trace.value[TRACE_ECG], 0, sizeof trace.value[TRACE_ECG]);
    show(DISPLAY_hr_per_min, 0);
    play(6);
    ck_assert_int_eq(last_begun, ALARM_asystole);

    setup();
    display.valid[DISPLAY_hr_per_min] = false;
    for (int i = 0; i < TICKS; i++)
        trace.value[TRACE_ECG][i] = 0.35 * sin(i * 0.12);
    play(6);
    ck_assert_int_eq(last_begun, ALARM_fibrillation);

    /* wide complexes at 150/min; the same with a pacing spike are no tachycardia */
    for (int paced = 0; paced < 2; paced++) {
        setup();
        show(DISPLAY_hr_per_min, 125);
        trace.ticks = 100;
        for (int i = 0; i < trace.ticks; i++) {
            double x = (i * BEAT_TICK_S - 0.07) / 0.032;
            trace.value[TRACE_ECG][i] = 1.25 * exp(-0.5 * x * x);
        }
        if (paced) trace.value[TRACE_ECG][0] = 1.6;
        play(20);
        ck_assert_int_eq(last_begun, paced ? ALARM_COUNT : ALARM_wide_fast);
    }
}
END_TEST

START_TEST(alarms_deep_dips_with_less_flow_are_a_sign_of_suction) {
    const double pi = 3.141592653589793;
    setup();
    play(120);
    ck_assert(!state.signs.on[SIGN_DIPS]);
    for (int i = 0; i < TICKS; i++) /* lowest 1.0, mean 3.0 */
        trace.value[TRACE_PUMP_FLOW][i] = 3.0 + 2.0 * cos(2 * pi * i / TICKS);
    show(DISPLAY_pump_flow_l_min, 3.0);
    play(90);
    ck_assert_int_eq(last_begun, ALARM_suction);

    /* the same against a higher arterial pressure: explained by it */
    setup();
    play(120);
    for (int i = 0; i < TICKS; i++)
        trace.value[TRACE_PUMP_FLOW][i] = 3.0 + 2.0 * cos(2 * pi * i / TICKS);
    show(DISPLAY_pump_flow_l_min, 3.0);
    show(DISPLAY_art_mean_mmhg, 88);
    play(90);
    ck_assert_int_eq(begun, 0);

    /* a stronger heart swings as much and moves more: no sign */
    setup();
    play(120);
    for (int i = 0; i < TICKS; i++)
        trace.value[TRACE_PUMP_FLOW][i] = 4.4 + 3.0 * cos(2 * pi * i / TICKS);
    play(90);
    ck_assert_int_eq(begun, 0);

    /* a lower speed dips more deeply by itself: learnt anew */
    setup();
    play(120);
    show(DISPLAY_pump_rpm, 7000);
    for (int i = 0; i < TICKS; i++)
        trace.value[TRACE_PUMP_FLOW][i] = 3.0 + 2.0 * cos(2 * pi * i / TICKS);
    show(DISPLAY_pump_flow_l_min, 3.0);
    play(90);
    ck_assert_int_eq(begun, 0);
}
END_TEST

START_TEST(alarms_pump_without_power_is_told_at_once) {
    setup();
    play(10);
    devices.left_supplied = false;
    show(DISPLAY_pump_rpm, 0);
    play(10);
    ck_assert_int_eq(begun, 1);
    ck_assert_int_eq(last_begun, ALARM_left_pump_no_power);
}
END_TEST

START_TEST(alarms_damaged_state_is_found) {
    setup();
    ck_assert(sim_alarms_state_sound(&state));
    state.phase[3] = (AlarmPhase)17;
    ck_assert(!sim_alarms_state_sound(&state));
    setup();
    state.told_s[2] = NAN;
    ck_assert(!sim_alarms_state_sound(&state));
    setup();
    memset(&state.limits.on[1], 7, 1);
    ck_assert(!sim_alarms_state_sound(&state));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("alarms");
    TCase *t = tcase_create("alarms");
    tcase_add_test(t, alarms_calm_patient_none);
    tcase_add_test(t, alarms_low_number_tells_after_its_delay);
    tcase_add_test(t, alarms_short_dip_is_not_told);
    tcase_add_test(t, alarms_chatter_at_the_limit_is_one_alarm);
    tcase_add_test(t, alarms_number_not_on_show_is_no_limit_alarm);
    tcase_add_test(t, alarms_acknowledged_stays_on_show_without_sound);
    tcase_add_test(t, alarms_not_latching_ends_by_itself);
    tcase_add_test(t, alarms_pump_stop_latches_until_acknowledged);
    tcase_add_test(t, alarms_one_cause_is_told_once_by_its_worst);
    tcase_add_test(t, alarms_worse_in_the_group_is_told_anew_and_falls_back_quietly);
    tcase_add_test(t, alarms_all_well_again_tells_nothing_new);
    tcase_add_test(t, alarms_covered_from_the_start_is_known_with_its_leader);
    tcase_add_test(t, alarms_pause_silences_for_two_minutes);
    tcase_add_test(t, alarms_higher_priority_breaks_a_pause_lower_does_not);
    tcase_add_test(t, alarms_list_is_by_priority_then_newest);
    tcase_add_test(t, alarms_limits_can_be_set_and_are_reset);
    tcase_add_test(t, alarms_refuse_what_cannot_be);
    tcase_add_test(t, alarms_acts_are_read_as_they_are_written);
    tcase_add_test(t, alarms_table_is_sound);
    tcase_add_test(t, alarms_same_course_from_a_copy);
    tcase_add_test(t, alarms_rhythms_are_recognised_on_the_ecg);
    tcase_add_test(t, alarms_deep_dips_with_less_flow_are_a_sign_of_suction);
    tcase_add_test(t, alarms_pump_without_power_is_told_at_once);
    tcase_add_test(t, alarms_damaged_state_is_found);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
