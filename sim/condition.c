/* Parsing conditions by recursive descent into a program for a small stack machine, and running it. */
#include "sim/condition.h"

#include "sim/condition_parts.h"
#include "sim/suggest.h"

#include <assert.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SHOWN_PREFIX "shown_"

enum { NAME_MAX_LENGTH = 64, NESTING_MAX = 16 };

/* What an expression gives: arithmetic and truth are kept apart, so that "a and 3" is an error. */
typedef enum ValueKind { VALUE_NONE, VALUE_NUMBER, VALUE_TRUTH } ValueKind;

typedef struct Parser {
    const char *text;
    size_t at;
    int depth, nesting; /* stack use so far; parentheses open */
    Condition out;
    Error *error;
    bool failed;
} Parser;

static ValueKind parse_or(Parser *parser);

static ValueKind fail(Parser *parser, size_t at, ErrorCode code, const char *what, const char *allowed) {
    if (!parser->failed) {
        parser->failed = true;
        model_error_set(parser->error, code, "%s", what);
        model_error_at(parser->error, "", 0, (int)at + 1);
        if (allowed != NULL) model_error_allow(parser->error, "%s", allowed);
    }
    return VALUE_NONE;
}

static void skip_space(Parser *parser) {
    while (isspace((unsigned char)parser->text[parser->at])) {
        parser->at++;
    }
}

static bool name_letter(char c) {
    return isalnum((unsigned char)c) || c == '_';
}

/* Takes a symbol or a whole word. */
static bool take(Parser *parser, const char *wanted) {
    skip_space(parser);
    size_t length = strlen(wanted);
    if (strncmp(parser->text + parser->at, wanted, length) != 0) return false;
    if (name_letter(wanted[0]) && name_letter(parser->text[parser->at + length])) return false;
    parser->at += length;
    return true;
}

/* Appends an instruction; `grows` is its change of the stack's height. */
static void emit(Parser *parser, ConditionOperation operation, int index, double value, int grows) {
    if (parser->failed) return;
    parser->depth += grows;
    if (parser->out.count == CONDITION_CODE_MAX || parser->depth > CONDITION_STACK_MAX) {
        fail(parser, parser->at, ERROR_SYNTAX, "the condition is too long", "split it into several events");
        return;
    }
    parser->out.code[parser->out.count++] =
        (ConditionInstruction){.operation = (int16_t)operation, .index = (int16_t)index, .value = value};
}

/* Refuses an unknown name, with the nearest one. */
static ValueKind refuse_name(Parser *parser, size_t at, const char *typed) {
    enum { MOST = OBSERVABLE_COUNT + PARAMETER_COUNT + DISPLAY_COUNT + DEED_COUNT };
    const char *names[MOST];
    size_t count = 0;
    bool shown = strncmp(typed, SHOWN_PREFIX, strlen(SHOWN_PREFIX)) == 0;
    char what[ERROR_WHAT_MAX];
    snprintf(what, sizeof what, "there is no quantity \"%s\"", typed);
    fail(parser, at, ERROR_UNKNOWN_NAME, what, NULL);
    if (shown) {
        typed += strlen(SHOWN_PREFIX);
        for (int i = 0; i < DISPLAY_COUNT; i++) {
            names[count++] = sim_instruments_display_row((DisplayId)i)->key;
        }
    } else {
        for (int i = 0; i < OBSERVABLE_COUNT; i++) {
            names[count++] = model_observables_row((ObservableId)i)->key;
        }
        for (int i = 0; i < PARAMETER_COUNT; i++) {
            names[count++] = model_parameters_row((ParameterId)i)->key;
        }
        for (int i = 0; i < DEED_COUNT; i++) {
            names[count++] = sim_deeds_row((DeedId)i)->key;
        }
    }
    sim_suggest_allow(parser->error, typed, names, count, shown ? SHOWN_PREFIX : "",
                      shown ? "see: evenkeel list display"
                            : "see: evenkeel list observables, parameters, deeds");
    return VALUE_NONE;
}

static ValueKind parse_name(Parser *parser) {
    char name[NAME_MAX_LENGTH];
    size_t start = parser->at, length = 0;
    while (name_letter(parser->text[parser->at])) {
        if (length + 1 >= sizeof name)
            return fail(parser, start, ERROR_UNKNOWN_NAME, "this name is too long", NULL);
        name[length++] = parser->text[parser->at++];
    }
    name[length] = '\0';
    size_t prefix = strlen(SHOWN_PREFIX);
    ObservableId observable = model_observables_find(name);
    ParameterId parameter = model_parameters_find(name);
    DisplayId shown = strncmp(name, SHOWN_PREFIX, prefix) == 0 ? sim_instruments_display_find(name + prefix)
                                                               : DISPLAY_COUNT;
    if (observable != OBSERVABLE_COUNT) {
        emit(parser, OP_OBSERVABLE, (int)observable, 0, 1);
    } else if (shown != DISPLAY_COUNT) {
        emit(parser, OP_DISPLAY, (int)shown, 0, 1);
    } else if (parameter != PARAMETER_COUNT) {
        emit(parser, OP_PARAMETER, (int)parameter, 0, 1);
    } else if (sim_deeds_find(name) != DEED_COUNT) {
        emit(parser, OP_DEED, (int)sim_deeds_find(name), 0, 1);
    } else {
        return refuse_name(parser, start, name);
    }
    return VALUE_NUMBER;
}

/* A plain decimal number, in seconds when s, min or h follows. */
static ValueKind parse_number(Parser *parser) {
    enum { DIGITS_MAX = 32 };
    char digits[DIGITS_MAX];
    size_t length = 0, start = parser->at;
    bool point = false;
    for (char c = parser->text[parser->at]; isdigit((unsigned char)c) || (c == '.' && !point);
         c = parser->text[parser->at]) {
        if (length + 1 >= sizeof digits)
            return fail(parser, start, ERROR_SYNTAX, "this number is too long", NULL);
        point = point || c == '.';
        digits[length++] = c;
        parser->at++;
    }
    digits[length] = '\0';
    if (strcmp(digits, ".") == 0) return fail(parser, start, ERROR_SYNTAX, "this is not a number", NULL);
    double value = strtod(digits, NULL);
    if (isalpha((unsigned char)parser->text[parser->at])) {
        if (take(parser, "min")) {
            value *= 60;
        } else if (take(parser, "h")) {
            value *= 3600;
        } else if (!take(parser, "s")) {
            return fail(parser, parser->at, ERROR_SYNTAX, "a number may only be followed by s, min or h",
                        "units stand in the names of quantities");
        }
    }
    emit(parser, OP_NUMBER, 0, value, 1);
    return VALUE_NUMBER;
}

static ValueKind parse_primary(Parser *parser) {
    skip_space(parser);
    char c = parser->text[parser->at];
    if (parser->failed) return VALUE_NONE;
    if (c == '(') {
        size_t open = parser->at++;
        if (++parser->nesting > NESTING_MAX)
            return fail(parser, open, ERROR_SYNTAX, "too many parentheses", NULL);
        ValueKind kind = parse_or(parser);
        if (!parser->failed && !take(parser, ")"))
            return fail(parser, open, ERROR_SYNTAX, "this parenthesis is not closed", NULL);
        parser->nesting--;
        return kind;
    }
    if (isdigit((unsigned char)c) || c == '.') return parse_number(parser);
    if (isalpha((unsigned char)c)) return parse_name(parser);
    return fail(parser, parser->at, ERROR_SYNTAX,
                c == '\0' ? "the condition ends too early" : "this is not understood",
                "a quantity, a number, or a parenthesis");
}

/* Checks that an operand is a number. */
static ValueKind need_number(Parser *parser, ValueKind kind, size_t at) {
    if (kind == VALUE_TRUTH)
        return fail(parser, at, ERROR_SYNTAX, "a number is needed here, not a comparison", NULL);
    return kind;
}

static ValueKind need_truth(Parser *parser, ValueKind kind, size_t at) {
    if (kind == VALUE_NUMBER)
        return fail(parser, at, ERROR_SYNTAX, "a comparison is needed here, not a number",
                    "like cvp_mmhg > 16");
    return kind;
}

static ValueKind parse_unary(Parser *parser) {
    size_t start = parser->at;
    if (!take(parser, "-")) return parse_primary(parser);
    if (++parser->nesting > NESTING_MAX)
        return fail(parser, start, ERROR_SYNTAX, "too many minus signs", NULL);
    ValueKind kind = need_number(parser, parse_unary(parser), start);
    parser->nesting--;
    emit(parser, OP_NEGATE, 0, 0, 0);
    return kind;
}

static ValueKind parse_product(Parser *parser) {
    size_t start = parser->at;
    ValueKind kind = parse_unary(parser);
    while (!parser->failed) {
        ConditionOperation operation;
        if (take(parser, "*")) {
            operation = OP_MULTIPLY;
        } else if (take(parser, "/")) {
            operation = OP_DIVIDE;
        } else {
            break;
        }
        need_number(parser, kind, start);
        kind = need_number(parser, parse_unary(parser), parser->at);
        emit(parser, operation, 0, 0, -1);
    }
    return kind;
}

static ValueKind parse_sum(Parser *parser) {
    size_t start = parser->at;
    ValueKind kind = parse_product(parser);
    while (!parser->failed) {
        ConditionOperation operation;
        if (take(parser, "+")) {
            operation = OP_ADD;
        } else if (take(parser, "-")) {
            operation = OP_SUBTRACT;
        } else {
            break;
        }
        need_number(parser, kind, start);
        kind = need_number(parser, parse_product(parser), parser->at);
        emit(parser, operation, 0, 0, -1);
    }
    return kind;
}

static ValueKind parse_comparison(Parser *parser) {
    static const struct {
        const char *symbol;
        ConditionOperation operation;
    } comparisons[] = {{"<=", OP_LESS_EQUAL}, {">=", OP_GREATER_EQUAL}, {"<", OP_LESS}, {">", OP_GREATER}};
    size_t start = parser->at;
    ValueKind kind = parse_sum(parser);
    skip_space(parser);
    char c = parser->text[parser->at];
    if (c == '=' || c == '!')
        return fail(parser, parser->at, ERROR_SYNTAX, "quantities cannot be compared for equality",
                    "< <= > >=");
    for (size_t i = 0; i < sizeof comparisons / sizeof comparisons[0] && !parser->failed; i++) {
        if (!take(parser, comparisons[i].symbol)) continue;
        need_number(parser, kind, start);
        need_number(parser, parse_sum(parser), parser->at);
        emit(parser, comparisons[i].operation, 0, 0, -1);
        return parser->failed ? VALUE_NONE : VALUE_TRUTH;
    }
    return kind;
}

static ValueKind parse_not(Parser *parser) {
    skip_space(parser);
    size_t start = parser->at;
    if (!take(parser, "not")) return parse_comparison(parser);
    if (++parser->nesting > NESTING_MAX) return fail(parser, start, ERROR_SYNTAX, "too many \"not\"", NULL);
    ValueKind kind = need_truth(parser, parse_not(parser), parser->at);
    parser->nesting--;
    emit(parser, OP_NOT, 0, 0, 0);
    return kind;
}

/* One level of "and" or "or". */
static ValueKind parse_joined(Parser *parser, const char *word, ConditionOperation operation,
                              ValueKind (*part)(Parser *)) {
    size_t start = parser->at;
    ValueKind kind = part(parser);
    while (!parser->failed && take(parser, word)) {
        need_truth(parser, kind, start);
        skip_space(parser);
        size_t next = parser->at;
        kind = need_truth(parser, part(parser), next);
        emit(parser, operation, 0, 0, -1);
    }
    return kind;
}

static ValueKind parse_and(Parser *parser) {
    return parse_joined(parser, "and", OP_AND, parse_not);
}

static ValueKind parse_or(Parser *parser) {
    return parse_joined(parser, "or", OP_OR, parse_and);
}

ErrorCode sim_condition_parse(const char *text, Condition *condition, Error *error) {
    Error local;
    Parser parser = {.text = text, .error = error != NULL ? error : &local};
    model_error_clear(parser.error);
    size_t length = strlen(text);
    if (length >= CONDITION_TEXT_MAX) {
        fail(&parser, CONDITION_TEXT_MAX, ERROR_SYNTAX, "the condition is too long",
             "split it into several events");
        return ERROR_SYNTAX;
    }
    skip_space(&parser);
    size_t start = parser.at;
    need_truth(&parser, parse_or(&parser), start);
    skip_space(&parser);
    if (!parser.failed && parser.text[parser.at] != '\0')
        fail(&parser, parser.at, ERROR_SYNTAX, "this is not understood", "and, or, a comparison: < <= > >=");
    if (parser.failed) return parser.error->code;
    memcpy(parser.out.text, text, length + 1);
    *condition = parser.out;
    return ERROR_OK;
}

/* Truth is 1 or 0 on the stack; what cannot be known is NaN, which makes every comparison false. */
static double binary(ConditionOperation operation, double a, double b) {
    switch (operation) {
    case OP_ADD:
        return a + b;
    case OP_SUBTRACT:
        return a - b;
    case OP_MULTIPLY:
        return a * b;
    case OP_DIVIDE:
        return fabs(b) > 0 ? a / b : NAN;
    case OP_LESS:
        return a < b;
    case OP_LESS_EQUAL:
        return a <= b;
    case OP_GREATER:
        return a > b;
    case OP_GREATER_EQUAL:
        return a >= b;
    case OP_AND:
        return a > 0.5 && b > 0.5;
    default:
        return a > 0.5 || b > 0.5;
    }
}

static double load(const ConditionInstruction *code, const ConditionInputs *inputs) {
    switch (code->operation) {
    case OP_OBSERVABLE:
        return model_observables_get(inputs->observables, (ObservableId)code->index);
    case OP_PARAMETER:
        return model_parameters_get(inputs->parameters, (ParameterId)code->index);
    case OP_DEED:
        return inputs->deeds != NULL ? inputs->deeds->value[code->index] : NAN;
    case OP_DISPLAY:
        return inputs->display->valid[code->index] ? inputs->display->value[code->index] : NAN;
    default:
        return code->value;
    }
}

bool sim_condition_holds(const Condition *condition, const ConditionInputs *inputs) {
    double stack[CONDITION_STACK_MAX + 1];
    int top = 0;
    if (condition->count == 0) return true;
    for (int i = 0; i < condition->count; i++) {
        const ConditionInstruction *code = &condition->code[i];
        ConditionOperation operation = (ConditionOperation)code->operation;
        if (operation <= OP_DEED) {
            assert(top < CONDITION_STACK_MAX);
            stack[top++] = load(code, inputs);
        } else if (operation == OP_NEGATE) {
            stack[top - 1] = -stack[top - 1];
        } else if (operation == OP_NOT) {
            stack[top - 1] = stack[top - 1] < 0.5;
        } else {
            assert(top >= 2);
            top--;
            stack[top - 1] = binary(operation, stack[top - 1], stack[top]);
        }
    }
    return stack[0] > 0.5;
}
