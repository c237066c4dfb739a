/* Free practice: groups of parameters, search, steps, pending values, the snippet. */
#include "ui/practice.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define STEP_SHARE_RANGE 0.01 /* a step is at most this share of the range, ... */
#define STEP_SHARE_VALUE 0.05 /* ... and of the value at the start, where there is one */
#define LARGE_STEPS      10.0
#define SAME_SHARE       1e-9

typedef struct GroupRow {
    const char *name;
    ParameterId first; /* it begins with; PARAMETER_COUNT: those whose source says that they are causes */
} GroupRow;

/* In the order of the parameter table; each reaches to where the next begins. */
static const GroupRow GROUPS[] = {
    {"What goes wrong", PARAMETER_COUNT},
    {"Left ventricle", PARAMETER_lv_ees_mmhg_ml},
    {"Right ventricle", PARAMETER_rv_ees_mmhg_ml},
    {"Atria", PARAMETER_la_ees_mmhg_ml},
    {"Walls of the chambers", PARAMETER_ventricle_flow_loss_s_ml},
    {"Activation", PARAMETER_ventricle_rise_s},
    {"Septum", PARAMETER_septum_ees_mmhg_ml},
    {"Around the heart", PARAMETER_pericardium_a_mmhg},
    {"Valves", PARAMETER_mitral_area_cm2},
    {"Systemic vessels", PARAMETER_systemic_resistance_x},
    {"Pulmonary vessels", PARAMETER_pulmonary_resistance_x},
    {"Left pump", PARAMETER_left_pump_present},
    {"Right pump", PARAMETER_right_pump_present},
    {"Breathing", PARAMETER_ventilated},
    {"Rhythm", PARAMETER_rhythm_kind},
    {"Person", PARAMETER_weight_kg},
    {"Reflexes", PARAMETER_reflex_gain},
    {"Drips and gases", PARAMETER_line_delay_s},
    {"Answer to drugs", PARAMETER_beta_response_lv_frac},
    {"Fluids", PARAMETER_crystalloid_ml_min},
    {"Bleeding", PARAMETER_ooze_drain_ml_h},
    {"Oxygen and lactate", PARAMETER_fio2_frac},
    {"Kidney", PARAMETER_urine_rest_ml_kg_h},
    {"Wires and shocks", PARAMETER_underlying_rhythm_kind},
    {"Pump power", PARAMETER_left_pump_fault},
    {"Lines and sensors", PARAMETER_art_line_hz},
};

enum { GROUP_COUNT = sizeof GROUPS / sizeof GROUPS[0] };

int ui_practice_group_count(void) {
    return GROUP_COUNT;
}

const char *ui_practice_group_name(int group) {
    return GROUPS[group].name;
}

bool ui_practice_group_has(int group, ParameterId id) {
    ParameterId first = GROUPS[group].first, end = PARAMETER_COUNT;
    if (first == PARAMETER_COUNT) return strncmp(model_parameters_row(id)->source, "cause", 5) == 0;
    for (int i = 0; i < GROUP_COUNT; i++) {
        if (GROUPS[i].first > first && GROUPS[i].first < end) end = GROUPS[i].first;
    }
    return id >= first && id < end;
}

static bool holds(const char *text, const char *word, size_t length) {
    for (; *text != '\0'; text++) {
        size_t i = 0;
        while (i < length && tolower((unsigned char)text[i]) == tolower((unsigned char)word[i]))
            i++;
        if (i == length) return true;
    }
    return length == 0;
}

/* Whether every word is in the key or the description. */
static bool found(ParameterId id, const char *search) {
    const ParameterRow *row = model_parameters_row(id);
    for (const char *word = search + strspn(search, " "); *word != '\0';) {
        size_t length = strcspn(word, " ");
        if (!holds(row->key, word, length) && !holds(row->text, word, length)) return false;
        word += length + strspn(word + length, " ");
    }
    return true;
}

int ui_practice_rows(const PracticeView *p, ParameterId rows[PARAMETER_COUNT]) {
    int count = 0;
    bool searched = p->search.text[strspn(p->search.text, " ")] != '\0';
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        ParameterId id = (ParameterId)i;
        if (searched ? found(id, p->search.text) : ui_practice_group_has(p->group, id)) rows[count++] = id;
    }
    return count;
}

/* The greatest of 1, 2, 5 times a power of ten that is not greater than `most`. */
static double round_step(double most) {
    double power = pow(10.0, floor(log10(most) + SAME_SHARE)), times = most / power;
    return power * (times >= 5.0 ? 5.0 : times >= 2.0 ? 2.0 : 1.0);
}

double ui_practice_step(const PracticeView *p, ParameterId id) {
    const ParameterRow *row = model_parameters_row(id);
    bool whole = strchr(row->unit, '/') != NULL && isdigit((unsigned char)row->unit[0]) &&
                 strncmp(row->unit, "1/", 2) != 0;
    if (whole || strncmp(row->unit, "0 ", 2) == 0 || strstr(row->unit, "Kind") != NULL) return 1.0;
    double range = (row->high - row->low) * STEP_SHARE_RANGE;
    double value = fabs(model_parameters_get(&p->start, id)) * STEP_SHARE_VALUE;
    return round_step(value > 0.01 * range ? fmin(range, value) : range);
}

double ui_practice_wanted(const PracticeView *p, ParameterId id) {
    return p->pending[id] ? p->wanted[id] : model_parameters_get(&p->now, id);
}

static const double OVER_S[PRACTICE_OVER_COUNT] = {0.0, 10.0, 60.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0};

double ui_practice_over_s(int over) {
    return OVER_S[over < 0 ? 0 : over >= PRACTICE_OVER_COUNT ? PRACTICE_OVER_COUNT - 1 : over];
}

void ui_practice_over_text(int over, char *text, size_t size) {
    double over_s = ui_practice_over_s(over);
    if (over_s <= 0.0)
        snprintf(text, size, "at once");
    else if (over_s < 60.0)
        snprintf(text, size, "in %.0f s", over_s);
    else
        snprintf(text, size, "in %.0f min", over_s / 60.0);
}

/* Makes a value wanted; one that is in force already is no change. */
static void want(PracticeView *p, ParameterId id, double value) {
    const ParameterRow *row = model_parameters_row(id);
    double now = model_parameters_get(&p->now, id);
    value = fmin(fmax(value, row->low), row->high);
    p->wanted[id] = value;
    p->pending[id] = fabs(value - now) > SAME_SHARE * (row->high - row->low);
}

static void step(PracticeView *p, double steps, bool large) {
    double size = ui_practice_step(p, p->focus);
    double value = ui_practice_wanted(p, p->focus) + steps * size * (large ? LARGE_STEPS : 1.0);
    p->entry[0] = '\0';
    want(p, p->focus, round(value / size) * size);
}

/* A typed digit, point, minus, e or backspace. */
static void type(PracticeView *p, int character) {
    const ParameterRow *row = model_parameters_row(p->focus);
    size_t length = strlen(p->entry);
    if (character == '\b') {
        if (length > 0) p->entry[length - 1] = '\0';
    } else if (length + 1 < sizeof p->entry - 8) {
        p->entry[length] = (char)character;
        p->entry[length + 1] = '\0';
    }
    char *end;
    double value = strtod(p->entry, &end);
    p->pending[p->focus] = false;
    p->told[0] = '\0';
    if (p->entry[0] == '\0' || end == p->entry || *end != '\0') return;
    if (value < row->low || value > row->high) {
        snprintf(p->told, sizeof p->told, "allowed: %g to %g %s", row->low, row->high, row->unit);
        return;
    }
    want(p, p->focus, value);
}

static void focus(PracticeView *p, ParameterId id) {
    if (id != p->focus) p->entry[0] = p->told[0] = '\0';
    p->focus = id;
}

/* Keeps the focus on a row that is on show. */
static void keep_focus(PracticeView *p) {
    ParameterId rows[PARAMETER_COUNT];
    int count = ui_practice_rows(p, rows);
    for (int i = 0; i < count; i++) {
        if (rows[i] == p->focus) return;
    }
    if (count > 0) focus(p, rows[0]);
}

static void count_pending(PracticeView *p) {
    p->pendings = 0;
    for (int i = 0; i < PARAMETER_COUNT; i++)
        p->pendings += p->pending[i];
}

void ui_practice_change(PracticeView *p, const Intent *intent) {
    int value = (int)intent->amount;
    switch ((PracticePart)intent->number) {
    case PRACTICE_PART_GROUP:
        p->group = (p->group + value % GROUP_COUNT + GROUP_COUNT) % GROUP_COUNT;
        ui_textfield_edit(&p->search, TEXT_EDIT_CLEAR);
        break;
    case PRACTICE_PART_FOCUS:
        if (value >= 0 && value < PARAMETER_COUNT) focus(p, (ParameterId)value);
        break;
    case PRACTICE_PART_STEP:
        step(p, intent->amount, intent->large);
        break;
    case PRACTICE_PART_VALUE: {
        double size = ui_practice_step(p, p->focus);
        p->entry[0] = '\0';
        want(p, p->focus, round(intent->amount / size) * size);
        break;
    }
    case PRACTICE_PART_DIGIT:
        type(p, value);
        break;
    case PRACTICE_PART_SEARCH:
        ui_textfield_edit(&p->search, intent->amount);
        break;
    case PRACTICE_PART_OVER:
        p->over += value;
        p->over = p->over < 0 ? 0 : p->over >= PRACTICE_OVER_COUNT ? PRACTICE_OVER_COUNT - 1 : p->over;
        break;
    case PRACTICE_PART_DROP:
        memset(p->pending, 0, sizeof p->pending);
        p->entry[0] = p->told[0] = '\0';
        break;
    case PRACTICE_PART_BACK:
        p->entry[0] = '\0';
        want(p, p->focus, model_parameters_get(&p->start, p->focus));
        break;
    case PRACTICE_PART_KEEP:
        for (int i = 0; i < 2; i++)
            p->loop[i].kept = p->loop[i].now;
        break;
    case PRACTICE_PART_SET:
    case PRACTICE_PART_SAVE:
        break;
    }
    keep_focus(p);
    count_pending(p);
}

void ui_practice_snippet(const PracticeView *p, FILE *out) {
    fprintf(out, "# What free practice changed in this patient; for `patient:` of a case, or as options:\n#");
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        double now = model_parameters_get(&p->now, (ParameterId)i);
        if (fabs(now - model_parameters_get(&p->start, (ParameterId)i)) > 0.0)
            fprintf(out, " --set %s=%.10g", model_parameters_row((ParameterId)i)->key, now);
    }
    fprintf(out, "\npatient:\n  base: %s\n  set:\n", p->person);
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        double now = model_parameters_get(&p->now, (ParameterId)i);
        if (fabs(now - model_parameters_get(&p->start, (ParameterId)i)) > 0.0)
            fprintf(out, "    %s: %.10g\n", model_parameters_row((ParameterId)i)->key, now);
    }
}
