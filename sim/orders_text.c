/* The text form of orders: reading, checking, writing. */
#include "sim/orders.h"

#include "model/units.h"
#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define BOLUS_STANDARD_S      600.0 /* when a bolus says no time; common practice */
#define BOLUS_SHORTEST_S      10.0
#define RUN_LONGEST_S         (24.0 * 3600.0)
#define LOAD_STANDARD_S       600.0 /* when a load says no time: that of milrinone's label */
#define INFUSION_HIGHEST_ML_H 2000.0
#define SLACK                 1e-9 /* a limit typed in another unit still fits */

enum { WORDS_MAX = 10, WORD_MAX = 40 };

typedef struct Words {
    int count, next;
    char word[WORDS_MAX][WORD_MAX];
} Words;

static const char *const pacing_words[] = {"off", "atrial", "ventricular", "both"};
static const char *const pacing_modes[] = {"off", "aai", "vvi", "ddd"};

static ErrorCode split(const char *text, Words *words, Error *error) {
    words->count = words->next = 0;
    for (const char *c = text; *c != '\0';) {
        while (isspace((unsigned char)*c)) {
            c++;
        }
        size_t length = 0;
        while (c[length] != '\0' && !isspace((unsigned char)c[length])) {
            length++;
        }
        if (length == 0) break;
        if (length >= WORD_MAX || words->count == WORDS_MAX)
            return model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is too long for an order", text);
        for (size_t i = 0; i < length; i++) {
            words->word[words->count][i] = (char)tolower((unsigned char)c[i]);
        }
        words->word[words->count++][length] = '\0';
        c += length;
    }
    if (words->count > 0) return ERROR_OK;
    model_error_set(error, ERROR_SYNTAX, "the order is empty");
    model_error_allow(error, "like speed 9000 or bolus crystalloid 250mL over 10min");
    return ERROR_SYNTAX;
}

/* Next word, or "" at the end. */
static const char *peek(const Words *words) {
    return words->next < words->count ? words->word[words->next] : "";
}

static bool take(Words *words, const char *wanted) {
    if (strcmp(peek(words), wanted) != 0) return false;
    words->next++;
    return true;
}

static ErrorCode find_order(Words *words, OrderId *id, Error *error) {
    const char *names[ORDER_COUNT];
    for (int i = 0; i < ORDER_COUNT; i++) {
        names[i] = sim_orders_row((OrderId)i)->key;
    }
    const char *typed = peek(words);
    *id = sim_orders_find(typed);
    if (*id != ORDER_COUNT) {
        words->next++;
        return ERROR_OK;
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no order \"%s\"", typed);
    sim_suggest_allow(error, typed, names, ORDER_COUNT, "", "see: evenkeel list orders");
    return ERROR_UNKNOWN_NAME;
}

/* Reads "250mL" or "250 mL" up to the next keyword. */
static ErrorCode take_quantity(Words *words, Quantity *quantity, Error *error) {
    char text[2 * WORD_MAX];
    snprintf(text, sizeof text, "%s", peek(words));
    if (text[0] == '\0') return model_error_set(error, ERROR_SYNTAX, "a value is missing at the end");
    words->next++;
    const char *unit = peek(words);
    size_t length = strlen(text);
    bool bare = isdigit((unsigned char)text[length - 1]) || text[length - 1] == '.';
    if (bare && unit[0] != '\0' && strcmp(unit, "over") != 0 && strcmp(unit, "load") != 0) {
        snprintf(text + length, sizeof text - length, " %s", unit);
        words->next++;
    }
    return sim_quantity_parse(text, quantity, error);
}

static ErrorCode refuse_unit(const Quantity *quantity, const char *allowed, Error *error) {
    model_error_set(error, ERROR_SYNTAX, "the unit \"%s\" does not fit here", quantity->unit);
    model_error_allow(error, "%s", allowed);
    return ERROR_SYNTAX;
}

/* Amounts by weight, in mg; 0 for units and for what is no amount. */
static double amount_mg(const char *unit, size_t length) {
    static const struct {
        const char *name;
        double mg;
    } amounts[] = {{"ng", 1e-6}, {"mcg", 1e-3}, {"ug", 1e-3}, {"mg", 1}, {"g", 1e3}};
    for (size_t i = 0; i < sizeof amounts / sizeof amounts[0]; i++) {
        if (strlen(amounts[i].name) == length && strncmp(unit, amounts[i].name, length) == 0)
            return amounts[i].mg;
    }
    return 0;
}

/* Turns an amount (the part of `unit` before the first '/') into the row's; 0 if they do not go together. */
static double amount_factor(const char *unit, const char *row_amount) {
    size_t length = strcspn(unit, "/");
    double mg = amount_mg(unit, length), row_mg = amount_mg(row_amount, strlen(row_amount));
    if (mg > 0 && row_mg > 0) return mg / row_mg;
    bool units = strcmp(row_amount, "U") == 0;
    return units && (strncmp(unit, "u/", 2) == 0 || strncmp(unit, "units/", 6) == 0 || strcmp(unit, "u") == 0)
               ? 1
               : 0;
}

/* A drip's rate in mL/h, or in its amount per kg or not, per minute or per hour. */
static ErrorCode in_drip_unit(const OrderRow *row, const Quantity *quantity, Order *order, Error *error) {
    const char *unit = quantity->unit, *rest = unit + strcspn(unit, "/");
    double factor = amount_factor(unit, row->amount_unit);
    bool per_kg = strncmp(rest, "/kg", 3) == 0, row_per_kg = strstr(row->unit, "/kg") != NULL;
    if (per_kg) rest += 3;
    bool row_hours = strcmp(row->unit + strlen(row->unit) - 2, "/h") == 0, hours = strcmp(rest, "/h") == 0;
    order->value = quantity->value;
    if (sim_quantity_unit_is(unit, "mL/h")) {
        order->measure = ORDER_MEASURE_ML_H;
    } else if (factor <= 0 || (!hours && strcmp(rest, "/min") != 0)) {
        model_error_set(error, ERROR_SYNTAX, "the unit \"%s\" does not fit here", unit);
        model_error_allow(error, "%s, mL/h, %s/min or %s/h", row->unit, row->amount_unit, row->amount_unit);
        return ERROR_SYNTAX;
    } else if (per_kg == row_per_kg) {
        order->value *= factor;
        if (hours && !row_hours) order->value /= UNITS_S_PER_MIN;
        if (!hours && row_hours) order->value *= UNITS_S_PER_MIN;
    } else {
        order->value *= factor / (hours ? UNITS_S_PER_MIN : 1);
        order->measure = per_kg ? ORDER_MEASURE_AMOUNT_KG_MIN : ORDER_MEASURE_AMOUNT_MIN;
    }
    return ERROR_OK;
}

/* Brings a quantity to the row's unit, or notes what it is in. */
static ErrorCode in_row_unit(const OrderRow *row, const Quantity *quantity, Order *order, Error *error) {
    order->value = quantity->value;
    if (sim_quantity_unit_is(quantity->unit, row->unit)) return ERROR_OK;
    if (strcmp(row->unit, "fraction") == 0 && strcmp(quantity->unit, "%") == 0) {
        order->value = quantity->value / 100;
        return ERROR_OK;
    }
    if (row->kind == ORDER_KIND_DRIP) return in_drip_unit(row, quantity, order, error);
    return refuse_unit(quantity, row->unit, error);
}

/* An amount given at once, "40mg" or "2mg/kg", in the row's amount unit. */
static ErrorCode in_amount_unit(const OrderRow *row, const Quantity *quantity, double *value, bool *per_kg,
                                Error *error) {
    const char *rest = quantity->unit + strcspn(quantity->unit, "/");
    double factor = amount_factor(quantity->unit, row->amount_unit);
    if (factor <= 0 || (rest[0] != '\0' && strcmp(rest, "/kg") != 0)) {
        model_error_set(error, ERROR_SYNTAX, "the unit \"%s\" does not fit here", quantity->unit);
        model_error_allow(error, "%s or %s/kg", row->amount_unit, row->amount_unit);
        return ERROR_SYNTAX;
    }
    *value = quantity->value * factor;
    *per_kg = rest[0] != '\0';
    return ERROR_OK;
}

/* "over 10min", or `standard_s` when it is not said. */
static ErrorCode take_over(Words *words, double standard_s, double *duration_s, Error *error) {
    *duration_s = standard_s;
    if (!take(words, "over")) return ERROR_OK;
    char text[2 * WORD_MAX];
    snprintf(text, sizeof text, "%s", peek(words));
    if (words->next < words->count) words->next++;
    size_t length = strlen(text);
    if (length > 0 && isdigit((unsigned char)text[length - 1]) && peek(words)[0] != '\0') {
        snprintf(text + length, sizeof text - length, "%s", peek(words));
        words->next++;
    }
    return sim_duration_parse(text, duration_s, error);
}

static ErrorCode read_fluid(Words *words, const char *verb, Order *order, Error *error) {
    const OrderRow *row = sim_orders_row(order->id);
    if (strcmp(verb, "stop") == 0) {
        order->act = ORDER_ACT_STOP;
        return ERROR_OK;
    }
    if (take(words, "off")) {
        order->act = ORDER_ACT_OFF;
        return ERROR_OK;
    }
    Quantity quantity;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code != ERROR_OK) return code;
    bool blood = order->id == ORDER_red_cells || order->id == ORDER_plasma || order->id == ORDER_platelets;
    const char *unit = quantity.unit;
    bool rate = strcmp(verb, "infusion") == 0 || (verb[0] == '\0' && strchr(unit, '/') != NULL);
    order->act = rate ? ORDER_ACT_INFUSION : ORDER_ACT_BOLUS;
    order->value = quantity.value;
    if (rate) {
        if (strcmp(unit, "ml/min") == 0) {
            order->value = quantity.value * UNITS_S_PER_MIN;
        } else if (!sim_quantity_unit_is(unit, "mL/h")) {
            return refuse_unit(&quantity, "mL/h or mL/min for an infusion", error);
        }
        return ERROR_OK;
    }
    if (strcmp(unit, "l") == 0) {
        order->value = quantity.value * 1000;
    } else if (blood && unit[0] != '\0' && sim_quantity_unit_is(unit, "unit")) {
        order->value = quantity.value * row->standard;
    } else if (!sim_quantity_unit_is(unit, "mL")) {
        return refuse_unit(&quantity, blood ? "mL or unit" : "mL or L", error);
    }
    return take_over(words, BOLUS_STANDARD_S, &order->duration_s, error);
}

static ErrorCode read_pacing(Words *words, const char *verb, Order *order, Error *error) {
    if (verb[0] != '\0' || take(words, "off")) {
        order->act = ORDER_ACT_OFF;
        return ERROR_OK;
    }
    order->act = ORDER_ACT_SET;
    for (int mode = ORDER_PACING_ATRIAL; mode <= ORDER_PACING_BOTH; mode++) {
        if (take(words, pacing_words[mode]) || take(words, pacing_modes[mode]))
            order->pacing = (OrderPacing)mode;
    }
    if (order->pacing == ORDER_PACING_OFF) {
        model_error_set(error, ERROR_SYNTAX, "pacing \"%s\" is not known", peek(words));
        model_error_allow(
            error, "pacing atrial 90 (AAI), pacing ventricular 80 (VVI), pacing both 90 (DDD), pacing off");
        return ERROR_SYNTAX;
    }
    Quantity quantity;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code != ERROR_OK) return code;
    return in_row_unit(sim_orders_row(order->id), &quantity, order, error);
}

/* "bolus furosemide 40mg over 2min" */
static ErrorCode read_dose(Words *words, Order *order, Error *error) {
    const OrderRow *row = sim_orders_row(order->id);
    const OrderDose *dose = sim_orders_dose(order->id);
    if (dose == NULL) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s is not given as a bolus here", row->key);
        model_error_allow(error, "a drip: it can run faster for a while");
        return ERROR_NOT_ALLOWED;
    }
    Quantity quantity;
    order->act = ORDER_ACT_BOLUS;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code == ERROR_OK && quantity.unit[0] == '\0') {
        order->value = quantity.value;
        order->per_kg = dose->per_kg;
    } else if (code == ERROR_OK) {
        code = in_amount_unit(row, &quantity, &order->value, &order->per_kg, error);
    }
    return code == ERROR_OK ? take_over(words, dose->over_s, &order->duration_s, error) : code;
}

/* "load 50mcg/kg over 10min" after a rate */
static ErrorCode read_load(Words *words, Order *order, Error *error) {
    const OrderRow *row = sim_orders_row(order->id);
    Quantity quantity;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code != ERROR_OK) return code;
    bool per_kg = false, wanted = strstr(row->unit, "/kg") != NULL;
    if (quantity.unit[0] == '\0') {
        order->load = quantity.value;
        per_kg = wanted;
    } else {
        code = in_amount_unit(row, &quantity, &order->load, &per_kg, error);
    }
    if (code != ERROR_OK) return code;
    if (per_kg != wanted) {
        char allowed[WORD_MAX];
        snprintf(allowed, sizeof allowed, "%s%s", row->amount_unit, wanted ? "/kg" : "");
        return refuse_unit(&quantity, allowed, error);
    }
    const OrderDose *dose = sim_orders_dose(order->id);
    return take_over(words, dose != NULL ? dose->over_s : LOAD_STANDARD_S, &order->load_s, error);
}

static ErrorCode read_value(Words *words, const char *verb, Order *order, Error *error) {
    const OrderRow *row = sim_orders_row(order->id);
    bool can_stop = row->kind == ORDER_KIND_DRIP || row->kind == ORDER_KIND_GAS;
    if (!can_stop && verb[0] != '\0')
        return model_error_set(error, ERROR_SYNTAX, "%s is a setting: it cannot be stopped", row->key);
    if (strcmp(verb, "bolus") == 0) return read_dose(words, order, error);
    if (can_stop && (strcmp(verb, "stop") == 0 || take(words, "off"))) {
        order->act = ORDER_ACT_OFF;
        return ERROR_OK;
    }
    order->act = ORDER_ACT_SET;
    Quantity quantity;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code == ERROR_OK) code = in_row_unit(row, &quantity, order, error);
    if (code != ERROR_OK || row->kind != ORDER_KIND_DRIP || !take(words, "load")) return code;
    return read_load(words, order, error);
}

/* "shock 200J", "shock 100J synchronised" */
static ErrorCode read_shock(Words *words, Order *order, Error *error) {
    Quantity quantity;
    order->act = ORDER_ACT_DO;
    ErrorCode code = take_quantity(words, &quantity, error);
    if (code != ERROR_OK) return code;
    if (!sim_quantity_unit_is(quantity.unit, "J")) return refuse_unit(&quantity, "J", error);
    order->value = quantity.value;
    order->synchronised = take(words, "synchronised") || take(words, "synchronized") || take(words, "sync");
    return ERROR_OK;
}

static ErrorCode outside(const OrderRow *row, const char *what, double value, double low, double high,
                         const char *unit, Error *error) {
    model_error_set(error, ERROR_RANGE, "%s %g %s is out of range", what, value, unit);
    model_error_at(error, row->key, 0, 0);
    model_error_allow(error, "%g to %g %s", low, high, unit);
    return ERROR_RANGE;
}

static bool within(double value, double low, double high) {
    return value >= low - SLACK && value <= high + SLACK;
}

static ErrorCode check_fluid(const OrderRow *row, const Order *order, const OrderLimit *limit, Error *error) {
    if (order->act == ORDER_ACT_BOLUS) {
        if (!within(order->value, limit->low, limit->high))
            return outside(row, "volume", order->value, limit->low, limit->high, "mL", error);
        if (!within(order->duration_s, BOLUS_SHORTEST_S, RUN_LONGEST_S))
            return outside(row, "time", order->duration_s, BOLUS_SHORTEST_S, RUN_LONGEST_S, "s", error);
    }
    if (order->act == ORDER_ACT_INFUSION && !within(order->value, 0, INFUSION_HIGHEST_ML_H))
        return outside(row, "rate", order->value, 0, INFUSION_HIGHEST_ML_H, "mL/h", error);
    return ERROR_OK;
}

/* Names what the case lets be ordered, as far as it fits. */
static void allow_listed(const OrderLimits *limits, Error *error) {
    char list[ERROR_ALLOWED_MAX] = "";
    size_t used = 0;
    for (int id = 0; id < ORDER_COUNT && used < sizeof list; id++) {
        if (limits->of[id].allowed)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "",
                                     sim_orders_row((OrderId)id)->key);
    }
    model_error_allow(error, "%s", list);
}

/* A drug given at once: within what is given at once of it. A dose that is not in the table's way (per kg or
   not) cannot be judged without the weight: then the greatest rate of the drip is the limit. */
static ErrorCode check_dose(const OrderRow *row, const Order *order, Error *error) {
    const OrderDose *dose = sim_orders_dose(order->id);
    if (dose == NULL)
        return model_error_set(error, ERROR_NOT_ALLOWED, "%s is not given as a bolus", row->key);
    if (dose->per_kg == order->per_kg && !within(order->value, dose->low, dose->high))
        return outside(row, "dose", order->value, dose->low, dose->high,
                       order->per_kg ? "per kg" : row->amount_unit, error);
    if (order->value <= 0) return outside(row, "dose", order->value, dose->low, dose->high, "", error);
    if (!within(order->duration_s, BOLUS_SHORTEST_S, RUN_LONGEST_S))
        return outside(row, "time", order->duration_s, BOLUS_SHORTEST_S, RUN_LONGEST_S, "s", error);
    return ERROR_OK;
}

static ErrorCode check_load(const OrderRow *row, const Order *order, Error *error) {
    if (order->load <= 0)
        return order->load < 0 ? outside(row, "load", order->load, 0, 0, "", error) : ERROR_OK;
    const OrderDose *dose = sim_orders_dose(order->id);
    if (dose == NULL || dose->per_kg != (strstr(row->unit, "/kg") != NULL)) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s has no load", row->key);
        model_error_allow(error,
                          dose == NULL ? "a drip: it can run faster for a while" : "a bolus beside the drip");
        return ERROR_NOT_ALLOWED;
    }
    if (!within(order->load, 0, dose->high))
        return outside(row, "load", order->load, dose->low, dose->high,
                       dose->per_kg ? "per kg" : row->amount_unit, error);
    if (!within(order->load_s, UNITS_S_PER_MIN, RUN_LONGEST_S))
        return outside(row, "time of the load", order->load_s, UNITS_S_PER_MIN, RUN_LONGEST_S, "s", error);
    return ERROR_OK;
}

ErrorCode sim_orders_check(const Order *order, const OrderLimits *limits, Error *error) {
    const OrderRow *row = sim_orders_row(order->id);
    OrderLimit limit = {.allowed = true, .low = row->low, .high = row->high};
    if (limits != NULL) limit = limits->of[order->id];
    if (!limit.allowed) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s cannot be ordered in this case", row->key);
        allow_listed(limits, error);
        return ERROR_NOT_ALLOWED;
    }
    if (row->kind == ORDER_KIND_FLUID) return check_fluid(row, order, &limit, error);
    if (order->act == ORDER_ACT_BOLUS) return check_dose(row, order, error);
    if (order->id == ORDER_shock && order->act == ORDER_ACT_DO &&
        !within(order->value, limit.low, limit.high))
        return outside(row, "energy", order->value, limit.low, limit.high, row->unit, error);
    if (order->act != ORDER_ACT_SET) return ERROR_OK;
    bool off = order->value <= 0 && (row->kind == ORDER_KIND_DRIP || row->kind == ORDER_KIND_GAS);
    bool known =
        order->measure == ORDER_MEASURE_ROW; /* mL/h and the like are judged when the weight is known */
    if (known && !(off && order->value >= 0) && !within(order->value, limit.low, limit.high))
        return outside(row, "value", order->value, limit.low, limit.high, row->unit, error);
    return check_load(row, order, error);
}

ErrorCode sim_orders_parse(const char *text, const OrderLimits *limits, Order *order, Error *error) {
    Words words;
    Order read = {0};
    char verb[WORD_MAX] = "";
    ErrorCode code = split(text, &words, error);
    if (code != ERROR_OK) return code;
    if (strcmp(peek(&words), "bolus") == 0 || strcmp(peek(&words), "infusion") == 0 ||
        strcmp(peek(&words), "stop") == 0) {
        memcpy(verb, peek(&words), WORD_MAX);
        words.next++;
    }
    code = find_order(&words, &read.id, error);
    if (code != ERROR_OK) return code;
    OrderKind kind = sim_orders_row(read.id)->kind;
    bool dose = strcmp(verb, "bolus") == 0 && kind == ORDER_KIND_DRIP;
    if (verb[0] != '\0' && kind != ORDER_KIND_FLUID && strcmp(verb, "stop") != 0 && !dose) {
        model_error_set(error, ERROR_SYNTAX, "%s cannot be given as \"%s\"", sim_orders_row(read.id)->key,
                        verb);
        model_error_allow(error, "crystalloid, colloid, red_cells, plasma, platelets");
        return ERROR_SYNTAX;
    }
    if (kind == ORDER_KIND_FLUID) {
        code = read_fluid(&words, verb, &read, error);
    } else if (kind == ORDER_KIND_PACING) {
        code = read_pacing(&words, verb, &read, error);
    } else if (read.id == ORDER_shock && verb[0] == '\0') {
        code = read_shock(&words, &read, error);
    } else if (kind == ORDER_KIND_ACTION) {
        read.act = verb[0] == '\0' ? ORDER_ACT_DO : ORDER_ACT_STOP;
    } else {
        code = read_value(&words, verb, &read, error);
    }
    if (code == ERROR_OK && words.next < words.count)
        code = model_error_set(error, ERROR_SYNTAX, "\"%s\" is not understood at the end of the order",
                               peek(&words));
    if (code != ERROR_OK && error != NULL && error->allowed[0] == '\0') {
        char example[ORDER_TEXT_MAX];
        sim_orders_example(read.id, example, sizeof example);
        model_error_allow(error, "like %s", example);
    }
    if (code == ERROR_OK) code = sim_orders_check(&read, limits, error);
    if (code == ERROR_OK) *order = read;
    return code;
}
