/* Numbers, trends, scales, messages and orders of the bedside view, from the session. */
#include "ui/feed_parts.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define OUTSIDE_HOLD_S  20.0 /* a value counts as outside its target after this time; our own choice */
#define TREND_MIN_SHARE 0.12 /* the 30 min line spans at least this share of the bar's scale */
#define RANGE_HOLD_S    12.0 /* a lane's scale widens at once and narrows after this time */

enum { TREND_SMOOTH = 3 }; /* points before and after that a point of the 30 min line is averaged with */

/* Scales a lane may take, narrow to wide, with their tick labels. */
typedef struct LaneScale {
    double low, high, tick[3];
    int ticks;
} LaneScale;

enum { SCALES_MAX = 4 };

typedef struct LaneRow {
    const char *name, *value_name;
    Side side;
    DisplayId value, upper, lower; /* upper and lower: the companion, DISPLAY_COUNT for none */
    LaneScale scale[SCALES_MAX];
    int scales;
} LaneRow;

static const LaneRow LANES[LANE_COUNT] = {
    [LANE_ECG] = {"ECG II",
                  "HR",
                  SIDE_ELECTRICAL,
                  DISPLAY_hr_per_min,
                  DISPLAY_COUNT,
                  DISPLAY_COUNT,
                  {{-0.6, 1.4, {0, 1}, 2}, {-1.5, 2.5, {0, 1}, 2}},
                  2},
    [LANE_ARTERY] = {"ART",
                     "MAP",
                     SIDE_LEFT,
                     DISPLAY_art_mean_mmhg,
                     DISPLAY_art_sys_mmhg,
                     DISPLAY_art_dia_mmhg,
                     {{30, 90, {40, 60, 80}, 3}, {30, 130, {40, 80, 120}, 3}, {0, 200, {0, 100, 200}, 3}},
                     3},
    [LANE_PA] = {"PA",
                 "PA mean",
                 SIDE_RIGHT,
                 DISPLAY_pa_mean_mmhg,
                 DISPLAY_pa_sys_mmhg,
                 DISPLAY_pa_dia_mmhg,
                 {{0, 42, {0, 20, 40}, 3}, {0, 62, {0, 30, 60}, 3}, {0, 100, {0, 50, 100}, 3}},
                 3},
    [LANE_CVP] = {"CVP",
                  "CVP",
                  SIDE_RIGHT,
                  DISPLAY_cvp_mmhg,
                  DISPLAY_COUNT,
                  DISPLAY_COUNT,
                  {{-3, 22, {0, 10, 20}, 3}, {-3, 32, {0, 15, 30}, 3}, {-10, 60, {0, 30, 60}, 3}},
                  3},
    [LANE_PUMP_FLOW] = {"Flow",
                        "Pump flow",
                        SIDE_PUMP,
                        DISPLAY_pump_flow_l_min,
                        DISPLAY_COUNT,
                        DISPLAY_COUNT,
                        {{0, 8.5, {0, 4, 8}, 3}, {-2, 12.5, {0, 6, 12}, 3}},
                        2},
    [LANE_AIRWAY] = {"Airway",
                     "Ppeak",
                     SIDE_GAS,
                     DISPLAY_airway_peak_cmh2o,
                     DISPLAY_peep_cmh2o,
                     DISPLAY_COUNT,
                     {{-2, 32, {0, 15, 30}, 3}, {-4, 62, {0, 30, 60}, 3}},
                     2},
};

static const DisplayId LABS[] = {DISPLAY_spo2_percent, DISPLAY_svo2_percent, DISPLAY_lactate_mmol_l,
                                 DISPLAY_urine_ml_h,   DISPLAY_drain_ml_h,   DISPLAY_hb_g_dl,
                                 DISPLAY_wedge_mmhg};

static const DisplayId PUMPS[PUMP_VALUES] = {DISPLAY_pump_rpm, DISPLAY_pump_flow_l_min,
                                             DISPLAY_pump_pulsatility, DISPLAY_pump_power_w};

static const char *const RHYTHM_WORDS[RHYTHM_COUNT] = {
    [RHYTHM_SINUS] = "sinus",
    [RHYTHM_ATRIAL_FIBRILLATION] = "irregular",
    [RHYTHM_PACED_ATRIAL] = "paced A",
    [RHYTHM_PACED_VENTRICULAR] = "paced V",
    [RHYTHM_PACED_BOTH] = "paced A+V",
    [RHYTHM_VENTRICULAR_TACHYCARDIA] = "wide, fast",
    [RHYTHM_VENTRICULAR_FIBRILLATION] = "no beats",
    [RHYTHM_ASYSTOLE] = "no beats",
};

/* Units as a tile writes them. */
static const char *tile_unit(const char *unit) {
    if (strcmp(unit, "1/min") == 0) return "/min";
    return strcmp(unit, "degC") == 0 ? "\u00b0C" : unit;
}

/* Mean of the finite values around history point i: numbers are rounded, and single steps would look like
 * noise. */
static double smoothed(const Feed *feed, DisplayId id, int64_t i, int64_t first, int64_t count) {
    double sum = 0.0;
    int used = 0;
    if (!isfinite(sim_session_history_value(feed->session, id, i))) return NAN;
    for (int64_t k = i - TREND_SMOOTH; k <= i + TREND_SMOOTH; k++) {
        if (k < first || k >= count) continue;
        double value = sim_session_history_value(feed->session, id, k);
        if (!isfinite(value)) continue;
        sum += value;
        used++;
    }
    return sum / used;
}

static void fill_trend(const Feed *feed, DisplayId id, Reading *r) {
    int64_t count = sim_session_history_count(feed->session),
            first = sim_session_history_first(feed->session);
    int64_t from = count - TREND_POINTS > first ? count - TREND_POINTS : first;
    double low = INFINITY, high = -INFINITY;
    r->trend.count = 0;
    for (int64_t i = from; i < count; i++) {
        double value = smoothed(feed, id, i, first, count);
        r->trend.value[r->trend.count++] = (float)value;
        if (isfinite(value)) {
            low = fmin(low, value);
            high = fmax(high, value);
        }
    }
    double least = TREND_MIN_SHARE * (r->scale_high - r->scale_low);
    double middle = low <= high ? 0.5 * (low + high) : 0.0,
           half = 0.5 * fmax(low <= high ? high - low : 0.0, least);
    r->trend_low = middle - half;
    r->trend_high = middle + half;
}

/* Which side of the target the value is on, and whether it has been there long enough. */
static void fill_limit(Feed *feed, DisplayId id, Reading *r) {
    double time_s = sim_session_time_s(feed->session), *since_s = &feed->outside_since_s[id];
    r->limit = LIMIT_NONE;
    if (!isfinite(r->value) || !isfinite(r->target_low)) {
        *since_s = -1.0;
        return;
    }
    double below = r->target_low - r->value, above = r->value - r->target_high;
    r->limit = below > 0.0 ? LIMIT_LOW : above > 0.0 ? LIMIT_HIGH : LIMIT_INSIDE;
    if (r->limit == LIMIT_INSIDE) {
        *since_s = -1.0;
        return;
    }
    if (*since_s < 0.0) *since_s = time_s;
    r->outside = time_s - *since_s >= OUTSIDE_HOLD_S;
}

static void fill_reading(Feed *feed, DisplayId id, const char *name, Reading *r) {
    const DisplayRow *row = sim_instruments_display_row(id);
    const Display *display = sim_session_display(feed->session);
    const CaseTarget *target = &sim_session_case(feed->session)->targets[id];
    memset(r, 0, sizeof *r);
    snprintf(r->name, sizeof r->name, "%s", name != NULL ? name : row->label);
    bool speed = id == DISPLAY_pump_rpm || id == DISPLAY_right_pump_rpm;
    snprintf(r->unit, sizeof r->unit, "%s", speed ? "rpm" : tile_unit(row->unit));
    r->value = display->valid[id] ? display->value[id] : NAN;
    r->decimals = row->decimals;
    r->scale_low = row->low;
    r->scale_high = row->high;
    r->target_low = target->given ? target->low : NAN;
    r->target_high = target->given ? target->high : NAN;
    fill_limit(feed, id, r);
    ui_feed_mark(feed, id, r);
    fill_trend(feed, id, r);
    if (row->window_s <= 0.0 && display->valid[id]) {
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, display->taken_s[id], false);
        snprintf(r->companion, sizeof r->companion, "at %.16s", when);
    }
    if (!display->valid[id])
        snprintf(r->reason, sizeof r->reason, row->window_s <= 0.0 ? "not taken" : "no reading");
    ui_units_reading(&feed->settings, row->key, r);
}

/* The number on show in the unit chosen. */
static void format_shown(const Feed *feed, DisplayId id, char *text, size_t size) {
    const DisplayRow *row = sim_instruments_display_row(id);
    ui_units_format(&feed->settings, row->key, row->unit, row->decimals,
                    sim_session_display(feed->session)->value[id], text, size);
}

static void fill_companion(const Feed *feed, const LaneRow *row, LaneId id, Reading *r) {
    const Display *display = sim_session_display(feed->session);
    char upper[TEXT_SHORT], lower[TEXT_SHORT];
    r->companion[0] = '\0';
    if (id == LANE_ECG) {
        RhythmKind rhythm = sim_session_beat(feed->session)->rhythm;
        if (rhythm < RHYTHM_COUNT) snprintf(r->companion, sizeof r->companion, "%s", RHYTHM_WORDS[rhythm]);
        return;
    }
    if (row->upper == DISPLAY_COUNT || !display->valid[row->upper]) return;
    format_shown(feed, row->upper, upper, sizeof upper);
    if (row->lower == DISPLAY_COUNT) {
        snprintf(r->companion, sizeof r->companion, "PEEP %.12s", upper);
        return;
    }
    format_shown(feed, row->lower, lower, sizeof lower);
    if (display->valid[row->lower]) snprintf(r->companion, sizeof r->companion, "%.10s/%.10s", upper, lower);
}

/* The narrowest scale that holds what the lane shows; widening at once, narrowing after a while. */
static void choose_scale(Feed *feed, LaneId id, const LaneRow *row) {
    const Sweep *sweep = &feed->sweep[id];
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < sweep->columns; i++) {
        if (isnan(sweep->low[i])) continue;
        low = fmin(low, sweep->low[i]);
        high = fmax(high, sweep->high[i]);
    }
    if (low > high) return;
    int wanted = row->scales - 1;
    while (wanted > 0 && low >= row->scale[wanted - 1].low && high <= row->scale[wanted - 1].high)
        wanted--;
    int *now = &feed->range[id];
    if (wanted >= *now) {
        *now = wanted;
        feed->range_since_s[id] = feed->wall_s;
    } else if (feed->wall_s - feed->range_since_s[id] > RANGE_HOLD_S) {
        *now = wanted;
        feed->range_since_s[id] = feed->wall_s;
    }
}

static void fill_lane(Feed *feed, LaneId id, Lane *lane) {
    const LaneRow *row = &LANES[id];
    memset(lane, 0, sizeof *lane);
    lane->id = id;
    lane->side = row->side;
    snprintf(lane->name, sizeof lane->name, "%s", row->name);
    choose_scale(feed, id, row);
    const LaneScale *scale = &row->scale[feed->range[id]];
    lane->low = scale->low;
    lane->high = scale->high;
    lane->ticks = scale->ticks;
    memcpy(lane->tick, scale->tick, sizeof scale->tick);
    ui_units_lane(&feed->settings, sim_instruments_display_row(row->value)->unit, lane);
    fill_reading(feed, row->value, row->value_name, &lane->value);
    fill_companion(feed, row, id, &lane->value);
    if (id == LANE_PUMP_FLOW) {
        snprintf(lane->value.unit, sizeof lane->value.unit, "L/min est.");
        if (!(sim_session_parameters(feed->session)->left_pump_present > 0.5))
            snprintf(lane->value.reason, sizeof lane->value.reason, "no left pump");
    }
}

static void fill_pumps(Feed *feed, BedsideView *v) {
    const Parameters *p = sim_session_parameters(feed->session);
    PumpStrip *left = &v->pump[0], *right = &v->pump[1];
    memset(v->pump, 0, sizeof v->pump);
    left->present = p->left_pump_present > 0.5;
    right->present = p->right_pump_present > 0.5;
    left->side = right->side = SIDE_PUMP;
    snprintf(left->title, sizeof left->title, left->present ? "Left pump" : "No left pump");
    snprintf(right->title, sizeof right->title, "Right pump");
    for (int i = 0; i < PUMP_VALUES; i++)
        fill_reading(feed, PUMPS[i], i == 1 ? "Flow, est." : NULL, &left->value[i]);
    left->value[1].priority = 0; /* marked once, in its tile beside the lane */
    left->value[1].outside = false;
    fill_reading(feed, DISPLAY_right_pump_rpm, "Speed", &right->value[0]);
    fill_reading(feed, DISPLAY_right_pump_flow_l_min, "Flow", &right->value[1]);
    right->values = 2;
    left->values = PUMP_VALUES;
}

static bool is_outside(const Reading *r) {
    return isfinite(r->target_low) && (r->value < r->target_low || r->value > r->target_high);
}

void ui_feed_numbers(Feed *feed, BedsideView *v) {
    const Case *file = sim_session_case(feed->session);
    const Parameters *p = sim_session_parameters(feed->session);
    snprintf(v->case_title, sizeof v->case_title, "%.90s", file->title);
    snprintf(v->patient, sizeof v->patient, "%.0f kg, %.0f cm, level %d", p->weight_kg, p->height_cm,
             file->level);
    v->lanes = LANE_COUNT;
    for (int i = 0; i < LANE_COUNT; i++)
        fill_lane(feed, (LaneId)i, &v->lane[i]);
    fill_pumps(feed, v);
    v->labs = (int)(sizeof LABS / sizeof LABS[0]);
    for (int i = 0; i < v->labs; i++)
        fill_reading(feed, LABS[i], NULL, &v->lab[i]);
    v->outside = 0;
    for (int i = 0; i < LANE_COUNT; i++)
        v->outside += is_outside(&v->lane[i].value);
    for (int i = 0; i < v->labs; i++)
        v->outside += is_outside(&v->lab[i]);
    ui_feed_alarms(feed, &v->alarms);
}

/* "Norepinephrine" and "0.12 mcg/kg/min" of an order written as text; false if it cannot be read. */
static bool order_words(const char *text, ActionLine *line) {
    Order order;
    Error error;
    if (sim_orders_parse(text, NULL, &order, &error) != ERROR_OK) return false;
    const OrderRow *row = sim_orders_row(order.id);
    char value[TEXT_SHORT];
    sim_orders_format_value(order.id, order.value, value, sizeof value);
    snprintf(line->what, sizeof line->what, "%s", row->label);
    switch (order.act) {
    case ORDER_ACT_SET:
        snprintf(line->detail, sizeof line->detail, "%s %s%s", value, row->unit,
                 order.load > 0.0 ? ", with a load" : "");
        break;
    case ORDER_ACT_OFF:
        snprintf(line->detail, sizeof line->detail, "off");
        break;
    case ORDER_ACT_BOLUS:
        snprintf(line->detail, sizeof line->detail, "%.4g %s%s over %.3g min", order.value,
                 row->kind == ORDER_KIND_FLUID ? "mL" : row->amount_unit, order.per_kg ? "/kg" : "",
                 order.duration_s / 60.0);
        break;
    case ORDER_ACT_INFUSION:
        snprintf(line->detail, sizeof line->detail, "%.0f mL/h", order.value);
        break;
    case ORDER_ACT_STOP:
        snprintf(line->detail, sizeof line->detail, "stopped");
        break;
    case ORDER_ACT_DO:
        if (order.id == ORDER_shock)
            snprintf(line->detail, sizeof line->detail, "%.0f J%s", order.value,
                     order.synchronised ? ", synchronised" : "");
        else
            snprintf(line->detail, sizeof line->detail, "ordered");
        break;
    }
    return true;
}

void ui_feed_lists(Feed *feed, BedsideView *v) {
    v->actions = v->messages = v->unseen = 0;
    for (int64_t i = sim_session_log_count(feed->session) - 1; i >= 0; i--) {
        const LogEntry *entry = sim_session_log_entry(feed->session, i);
        if (entry == NULL) break;
        if (sim_records_hidden(entry)) continue;
        bool act = entry->kind == LOG_ORDER || entry->kind == LOG_DONE || ui_feed_says(entry, NULL);
        if (act && v->actions < ACTIONS_MAX) {
            ActionLine *line = &v->action[v->actions++];
            *line = (ActionLine){.time_s = entry->time_s};
            if (ui_feed_says(entry, line)) continue;
            if (entry->kind == LOG_DONE || !order_words(entry->text, line)) {
                snprintf(line->what, sizeof line->what, "%.90s", entry->text);
                snprintf(line->detail, sizeof line->detail, "%s", entry->kind == LOG_DONE ? "done" : "");
            }
        }
        if (entry->kind != LOG_MESSAGE && entry->kind != LOG_END && entry->kind != LOG_TAKE_BACK) continue;
        bool seen = i < feed->log_seen;
        v->unseen += !seen;
        if (v->messages == MESSAGES_MAX) continue;
        MessageLine *message = &v->message[v->messages++];
        *message = (MessageLine){.time_s = entry->time_s, .seen = seen};
        snprintf(message->from, sizeof message->from, "%.20s",
                 entry->kind == LOG_END ? "The night" : entry->from);
        message->from[0] = (char)toupper((unsigned char)message->from[0]);
        snprintf(message->text, sizeof message->text, "%.600s", entry->text);
    }
}
