/* What is asked, what was said, and what was seen. */
#include "sim/predictions.h"

#include "sim/suggest.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MEAN_TAU_S   15.0 /* of the running means: about half a minute of what is shown */
#define LEAST_SHARE  0.04 /* of the scale, for quantities without a row */
#define NOT_YET      (-1.0)
#define CHANGE_LEAST 1e-9 /* a setting that moves less than this has not moved */

typedef struct AskRow {
    const char *order;
    bool after_end;
    double horizon_s;
    DisplayId quantity[PREDICTION_PARTS];
} AskRow;

static const AskRow asks[] = {
#define ASK(order, after_end, horizon_s, first, second, third)                                               \
    {#order, after_end, horizon_s, {DISPLAY_##first, DISPLAY_##second, DISPLAY_##third}},
#include "sim/predictions.def"
#undef ASK
};

enum { ASK_COUNT = sizeof asks / sizeof asks[0] };

static const double leasts[DISPLAY_COUNT] = {
#define LEAST(quantity, least, source) [DISPLAY_##quantity] = least,
#include "sim/predictions.def"
#undef LEAST
};

static const char *const ways[WAY_COUNT] = {"down", "same", "up"};

/* Stand in, in this order, for what is not on show. */
static const DisplayId stand_ins[] = {DISPLAY_art_mean_mmhg, DISPLAY_cvp_mmhg,     DISPLAY_pa_mean_mmhg,
                                      DISPLAY_hr_per_min,    DISPLAY_svo2_percent, DISPLAY_spo2_percent};

void sim_predictions_name(DisplayId id, char text[PREDICTION_NAME_MAX]) {
    static const char *const units[] = {"_mmhg",   "_per_min", "_l_min", "_percent", "_ml_h",
                                        "_mmol_l", "_cmh2o",   "_g_dl",  "_w",       "_c"};
    snprintf(text, PREDICTION_NAME_MAX, "%s", sim_instruments_display_row(id)->key);
    size_t length = strlen(text);
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        size_t unit = strlen(units[i]);
        if (length <= unit || strcmp(text + length - unit, units[i]) != 0) continue;
        text[length - unit] = '\0';
        return;
    }
}

DisplayId sim_predictions_find(const char *name) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        char text[PREDICTION_NAME_MAX];
        sim_predictions_name((DisplayId)id, text);
        if (strcmp(name, text) == 0) return (DisplayId)id;
    }
    return sim_instruments_display_find(name);
}

const char *sim_predictions_way_word(PredictionWay way) {
    return ways[way];
}

double sim_predictions_least(DisplayId id) {
    const DisplayRow *row = sim_instruments_display_row(id);
    return leasts[id] > 0 ? leasts[id] : LEAST_SHARE * (row->high - row->low);
}

double sim_predictions_chance(int sure) {
    static const double chances[] = {1.0 / WAY_COUNT, 0.5, 0.65, 0.8, 0.95};
    if (sure < PREDICTION_SURE_LEAST) sure = PREDICTION_SURE_LEAST;
    if (sure > PREDICTION_SURE_MOST) sure = PREDICTION_SURE_MOST;
    return chances[sure - 1];
}

void sim_predictions_start(PredictionsState *state) {
    memset(state, 0, sizeof *state);
}

static const AskRow *find_ask(const char *order) {
    for (int i = 0; i < ASK_COUNT; i++) {
        if (strcmp(order, asks[i].order) == 0) return &asks[i];
    }
    return NULL;
}

/* True if the order moves something by itself: not a repetition of what is in force, not a stop. */
static bool moves(const Order *order, const OrdersState *orders) {
    const OrderRow *row = sim_orders_row(order->id);
    switch (order->act) {
    case ORDER_ACT_SET:
        return order->load > 0 || (row->kind == ORDER_KIND_PACING && order->pacing != orders->pacing) ||
               fabs(order->value - orders->value[order->id]) > CHANGE_LEAST;
    case ORDER_ACT_OFF:
        return row->kind != ORDER_KIND_FLUID && fabs(orders->value[order->id]) > CHANGE_LEAST;
    case ORDER_ACT_BOLUS:
    case ORDER_ACT_DO:
        return true;
    default:
        return false; /* a slow rate is not seen within minutes */
    }
}

static void add_quantity(PredictionAsk *ask, DisplayId id, const Display *display) {
    if (!display->valid[id] || ask->count == PREDICTION_PARTS) return;
    for (int i = 0; i < ask->count; i++) {
        if (ask->quantity[i] == id) return;
    }
    ask->quantity[ask->count++] = id;
}

bool sim_predictions_ask(const PredictionRules *rules, const Order *order, const OrdersState *orders,
                         const OrderLimits *limits, const Display *display, PredictionAsk *ask) {
    const OrderRow *row = sim_orders_row(order->id);
    const PredictionRule *rule = NULL;
    *ask = (PredictionAsk){0};
    for (int i = 0; i < rules->count; i++) {
        if (rules->rule[i].order == order->id) rule = &rules->rule[i];
    }
    const AskRow *found = find_ask(row->key);
    if (found == NULL && (row->kind == ORDER_KIND_DRIP || rule != NULL)) found = find_ask("drip");
    if (found == NULL || !moves(order, orders)) return false;
    const DisplayId *quantities = rule != NULL && rule->count > 0 ? rule->quantity : found->quantity;
    int count = rule != NULL && rule->count > 0 ? rule->count : PREDICTION_PARTS;
    for (int i = 0; i < count; i++) {
        add_quantity(ask, quantities[i], display);
    }
    for (size_t i = 0; i < sizeof stand_ins / sizeof stand_ins[0] && ask->count < count; i++) {
        add_quantity(ask, stand_ins[i], display);
    }
    ask->horizon_s = rule != NULL && rule->horizon_s > 0 ? rule->horizon_s : found->horizon_s;
    if (found->after_end)
        ask->horizon_s += order->act == ORDER_ACT_BOLUS ? order->duration_s : limits->of[order->id].delay_s;
    return ask->count > 0;
}

ErrorCode sim_predictions_check(const PredictionAnswer *answer, const PredictionAsk *ask, Error *error) {
    bool fits = answer->count == ask->count;
    for (int i = 0; i < ask->count && fits; i++) {
        int times = 0;
        for (int k = 0; k < answer->count; k++) {
            times += answer->quantity[k] == ask->quantity[i];
        }
        fits = times == 1;
    }
    if (fits || answer->skipped) return ERROR_OK;
    char names[ERROR_ALLOWED_MAX] = "";
    size_t used = 0;
    for (int i = 0; i < ask->count; i++) {
        char name[PREDICTION_NAME_MAX];
        sim_predictions_name(ask->quantity[i], name);
        used += (size_t)snprintf(names + used, sizeof names - used, "%s%s", i > 0 ? ", " : "", name);
    }
    model_error_set(error, ERROR_NOT_ALLOWED, "these are not the quantities that are asked about");
    model_error_allow(error, "%s, each once; or skip", names);
    return ERROR_NOT_ALLOWED;
}

/* Value to compare with: the mean of what changes all the time, the reading of what is sampled. */
static double value_now(const PredictionsState *state, const Display *display, DisplayId id) {
    bool sampled = sim_instruments_display_row(id)->window_s <= 0;
    return sampled || !state->mean_known[id] ? display->value[id] : state->mean[id];
}

/* Room for one more at the end, or NULL. */
static Prediction *new_prediction(PredictionsState *state) {
    if (state->kept == PREDICTIONS_MAX) {
        int leaves = 0;
        while (leaves < state->kept && state->prediction[leaves].status == PREDICTION_PENDING)
            leaves++;
        if (leaves == state->kept) return NULL;
        memmove(&state->prediction[leaves], &state->prediction[leaves + 1],
                (size_t)(state->kept - leaves - 1) * sizeof(Prediction));
        state->kept--;
    }
    Prediction *added = &state->prediction[state->kept++];
    memset(added, 0, sizeof *added);
    return added;
}

ErrorCode sim_predictions_add(PredictionsState *state, const Order *order, const PredictionAsk *ask,
                              const PredictionAnswer *answer, const Display *display, double time_s,
                              Error *error) {
    ErrorCode code = sim_predictions_check(answer, ask, error);
    if (code != ERROR_OK) return code;
    Prediction *added = new_prediction(state);
    if (added == NULL) {
        model_error_set(error, ERROR_NOT_ALLOWED, "too many predictions wait for their answer");
        model_error_allow(error, "at most %d; or skip", PREDICTIONS_MAX);
        return ERROR_NOT_ALLOWED;
    }
    added->number = state->count++;
    state->said += !answer->skipped;
    added->status = answer->skipped ? PREDICTION_SKIPPED : PREDICTION_PENDING;
    added->order = *order;
    added->given_s = time_s;
    added->due_s = time_s + ask->horizon_s;
    added->seen_s = NOT_YET;
    added->sure = answer->skipped ? 0 : answer->sure;
    added->count = ask->count;
    for (int i = 0; i < ask->count; i++) {
        PredictionPart *part = &added->part[i];
        part->quantity = ask->quantity[i];
        part->said = WAY_SAME;
        for (int k = 0; k < answer->count && !answer->skipped; k++) {
            if (answer->quantity[k] == part->quantity) part->said = answer->way[k];
        }
        part->least = sim_predictions_least(part->quantity);
        part->before = part->after = value_now(state, display, part->quantity);
    }
    return ERROR_OK;
}

void sim_predictions_count_order(PredictionsState *state) {
    for (int i = 0; i < state->kept; i++) {
        if (state->prediction[i].status == PREDICTION_PENDING) state->prediction[i].others++;
    }
}

static void average(PredictionsState *state, const Display *display, double dt_s) {
    double share = 1 - exp(-dt_s / MEAN_TAU_S);
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        if (!display->valid[id]) {
            state->mean_known[id] = false;
        } else if (!state->mean_known[id]) {
            state->mean_known[id] = true;
            state->mean[id] = display->value[id];
        } else {
            state->mean[id] += share * (display->value[id] - state->mean[id]);
        }
    }
}

static void read_part(const PredictionsState *state, const Display *display, double given_s,
                      PredictionPart *part) {
    DisplayId id = part->quantity;
    bool sampled = sim_instruments_display_row(id)->window_s <= 0;
    part->known = display->valid[id] && !(sampled && display->taken_s[id] <= given_s);
    if (!part->known) return;
    part->after = value_now(state, display, id);
    double change = part->after - part->before;
    part->seen = change >= part->least ? WAY_UP : change <= -part->least ? WAY_DOWN : WAY_SAME;
    part->hit = part->seen == part->said;
}

const Prediction *sim_predictions_advance(PredictionsState *state, const Display *display, double dt_s,
                                          double time_s) {
    if (dt_s > 0) average(state, display, dt_s);
    for (int i = 0; i < state->kept; i++) {
        Prediction *prediction = &state->prediction[i];
        if (prediction->status != PREDICTION_PENDING || time_s < prediction->due_s) continue;
        prediction->status = PREDICTION_SEEN;
        prediction->seen_s = time_s;
        for (int k = 0; k < prediction->count; k++) {
            read_part(state, display, prediction->given_s, &prediction->part[k]);
        }
        return prediction;
    }
    return NULL;
}

void sim_predictions_score(const Prediction *prediction, int *known, int *hits) {
    *known = *hits = 0;
    for (int i = 0; i < prediction->count && prediction->status == PREDICTION_SEEN; i++) {
        *known += prediction->part[i].known;
        *hits += prediction->part[i].known && prediction->part[i].hit;
    }
}
