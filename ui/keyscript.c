/* Keys written down. */
#include "ui/keyscript.h"

#include "sim/duration.h"
#include "ui/describe.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define FRAME_S     (1.0 / 60.0)
#define WAIT_MOST_S 600.0
#define WORK_STEP_S 0.02 /* between two looks at work in the background */
#define RATE_STEPS  16   /* more than there are time rates */

enum { SCRIPT_LINE_MAX = 512, REPEAT_MOST = 200 };

typedef struct Player {
    Shell *shell;
    const char *name, *pictures;
    int line;
    bool instructor; /* the window that keys go to */
    double now_s;
    Error *error;
} Player;

static ErrorCode refuse(const Player *p, const char *what, const char *about) {
    ErrorCode code = model_error_set(p->error, ERROR_FORMAT, "%s '%.60s'", what, about);
    model_error_at(p->error, p->name, p->line, 0);
    return code;
}

static void frame(Player *p, const KeyPress *press) {
    Input input = {.x_px = -1.0, .y_px = -1.0};
    Input nothing = input;
    if (press != NULL) input.key[input.keys++] = *press;
    p->now_s += FRAME_S;
    ui_shell_frame(p->shell, p->instructor ? &nothing : &input, FRAME_S, p->now_s);
    ui_shell_instructor_frame(p->shell, p->instructor ? &input : &nothing, FRAME_S, p->now_s);
}

static bool named_key(const char *name, Key *key) {
    static const struct {
        const char *name;
        Key key;
    } NAMES[] = {{"Up", KEY_UP},
                 {"Down", KEY_DOWN},
                 {"Left", KEY_LEFT},
                 {"Right", KEY_RIGHT},
                 {"Enter", KEY_ENTER},
                 {"Esc", KEY_ESCAPE},
                 {"Tab", KEY_TAB},
                 {"Backspace", KEY_BACKSPACE},
                 {"Delete", KEY_DELETE},
                 {"Home", KEY_HOME},
                 {"End", KEY_END},
                 {"PageUp", KEY_PAGE_UP},
                 {"PageDown", KEY_PAGE_DOWN}};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        if (strcmp(name, NAMES[i].name) == 0) {
            *key = NAMES[i].key;
            return true;
        }
    }
    int number = 0;
    char rest;
    if (sscanf(name, "F%2d%c", &number, &rest) != 1 || number < 1 || number > 12) return false;
    *key = (Key)(KEY_F1 + number - 1);
    return true;
}

/* The character that a name stands for, 0 if none. */
static uint32_t named_character(const char *name) {
    if (strcmp(name, "Space") == 0) return ' ';
    if (strcmp(name, "Plus") == 0) return '+';
    if (strcmp(name, "Minus") == 0) return '-';
    if (strcmp(name, "Comma") == 0) return ',';
    if (strcmp(name, "Period") == 0) return '.';
    if (strcmp(name, "Question") == 0) return '?';
    return strlen(name) == 1 && isgraph((unsigned char)name[0]) ? (uint32_t)(unsigned char)name[0] : 0;
}

bool ui_keyscript_key(const char *name, KeyPress *press) {
    *press = (KeyPress){.key = KEY_NONE};
    if (strcmp(name, "Ctrl+Plus") == 0) press->key = KEY_ZOOM_IN;
    if (strcmp(name, "Ctrl+Minus") == 0) press->key = KEY_ZOOM_OUT;
    if (strcmp(name, "Ctrl+0") == 0) press->key = KEY_ZOOM_RESET;
    if (press->key != KEY_NONE) return true;
    if (strncmp(name, "Shift+", 6) == 0) {
        press->shift = true;
        name += 6;
    }
    bool alt = strncmp(name, "Alt+", 4) == 0;
    if (!alt && named_key(name, &press->key)) return true;
    press->character = named_character(alt ? name + 4 : name);
    press->key = alt ? KEY_ALT : KEY_CHARACTER;
    if (press->shift && !alt) press->character = (uint32_t)toupper((int)press->character);
    return press->character != 0;
}

/* A key press and the frame after it, in which what it changed is drawn. */
static void press_key(Player *p, const KeyPress *press) {
    frame(p, press);
    frame(p, NULL);
}

static ErrorCode press_names(Player *p, char *rest) {
    char *place = NULL;
    for (char *word = strtok_r(rest, " ", &place); word != NULL; word = strtok_r(NULL, " ", &place)) {
        KeyPress press;
        int times = 1;
        char *star = strrchr(word, '*');
        if (star != NULL && star > word && star[1] != '\0') {
            times = atoi(star + 1);
            *star = '\0';
        }
        if (times < 1 || times > REPEAT_MOST || !ui_keyscript_key(word, &press))
            return refuse(p, "no key is called", word);
        for (int i = 0; i < times; i++)
            press_key(p, &press);
    }
    return ERROR_OK;
}

static ErrorCode wait_seconds(Player *p, const char *rest) {
    char *end = NULL;
    double seconds = strtod(rest, &end);
    if (end == rest || !(seconds >= 0.0 && seconds <= WAIT_MOST_S))
        return refuse(p, "no number of seconds", rest);
    for (double t = 0.0; t < seconds; t += FRAME_S)
        frame(p, NULL);
    return ERROR_OK;
}

/* Waits for what is computed in the background. */
static ErrorCode wait_for_work(Player *p, const char *rest) {
    char *end = NULL;
    double seconds = strtod(rest, &end);
    if (end == rest || !(seconds >= 0.0 && seconds <= WAIT_MOST_S))
        return refuse(p, "no number of seconds", rest);
    const struct timespec nap = {.tv_nsec = (long)(WORK_STEP_S * 1e9)};
    frame(p, NULL);
    for (double t = 0.0; t < seconds && ui_shell_busy(p->shell); t += WORK_STEP_S) {
        nanosleep(&nap, NULL);
        frame(p, NULL);
    }
    frame(p, NULL);
    return ERROR_OK;
}

/* Lets the night run to a time, message cards and slower rates or not. */
static ErrorCode run_until(Player *p, const char *rest) {
    double until_s = 0.0;
    if (sim_duration_parse(rest, &until_s, NULL) != ERROR_OK) return refuse(p, "no time of the night", rest);
    while (p->shell->feed != NULL && !sim_session_ended(ui_feed_session(p->shell->feed))) {
        if (sim_session_time_s(ui_feed_session(p->shell->feed)) >= until_s) break;
        if (p->shell->overlay.kind != OVERLAY_NONE || p->shell->sheet != SHEET_NONE)
            return refuse(p, "the night waits under a card before", rest);
        for (int i = 0; i < RATE_STEPS; i++)
            ui_feed_rate(p->shell->feed, 1);
        ui_feed_pause(p->shell->feed, false);
        frame(p, NULL);
    }
    if (p->shell->feed != NULL) ui_feed_rate(p->shell->feed, 0);
    frame(p, NULL);
    return ERROR_OK;
}

/* Lower case, and every run of white space a blank. */
static char *plain(const char *text) {
    char *out = malloc(strlen(text) + 1), *to = out;
    if (out == NULL) return NULL;
    for (; *text != '\0'; text++) {
        bool space = isspace((unsigned char)*text) != 0;
        if (space && to > out && to[-1] == ' ') continue;
        *to++ = space ? ' ' : (char)tolower((unsigned char)*text);
    }
    *to = '\0';
    return out;
}

static bool says(const Screen *on, const char *words) {
    char *screen = ui_describe_text(&on->ui), *all = screen != NULL ? plain(screen) : NULL;
    char *wanted = plain(words);
    bool says = all != NULL && wanted != NULL && strstr(all, wanted) != NULL;
    free(screen);
    free(all);
    free(wanted);
    return says;
}

bool ui_keyscript_says(const Shell *shell, const char *words) {
    return says(&shell->screen, words);
}

/* The screen that keys go to and that is read. */
static const Screen *screen_of(const Player *p) {
    return p->instructor && p->shell->instructor != NULL ? &p->shell->instructor->screen : &p->shell->screen;
}

static ErrorCode choose_window(Player *p, const char *name) {
    p->instructor = strcmp(name, "instructor") == 0;
    if (!p->instructor && strcmp(name, "trainee") != 0) return refuse(p, "no window is called", name);
    if (p->instructor && p->shell->instructor == NULL) {
        const Screen *screen = &p->shell->screen;
        ui_shell_instructor(p->shell, true);
        if (p->shell->instructor == NULL) return refuse(p, "no memory for the window", name);
        ErrorCode code =
            ui_screen_resize(&p->shell->instructor->screen, ui_raster_width(screen->canvas),
                             ui_raster_height(screen->canvas), ui_raster_scale(screen->canvas), p->error);
        if (code != ERROR_OK) return code;
    }
    frame(p, NULL);
    frame(p, NULL);
    return ERROR_OK;
}

static ErrorCode expect(Player *p, const char *words, bool wanted) {
    if (says(screen_of(p), words) == wanted) return ERROR_OK;
    char *screen = ui_describe_text(&screen_of(p)->ui);
    ErrorCode code = model_error_set(p->error, ERROR_INTERNAL, "the screen %s '%.60s'",
                                     wanted ? "does not say" : "says", words);
    model_error_at(p->error, p->name, p->line, 0);
    if (screen != NULL) model_error_allow(p->error, "%.200s", screen);
    free(screen);
    return code;
}

static ErrorCode shoot(const Player *p, const char *name) {
    char path[1024];
    if (p->pictures == NULL) return ERROR_OK;
    snprintf(path, sizeof path, "%.800s/%.100s.png", p->pictures, name);
    return ui_raster_write_png(screen_of(p)->canvas, path, p->error);
}

static ErrorCode play_line(Player *p, char *line) {
    char *rest = line + strcspn(line, " ");
    if (*rest != '\0') *rest++ = '\0';
    if (strcmp(line, "press") == 0) return press_names(p, rest);
    if (strcmp(line, "wait") == 0) return wait_seconds(p, rest);
    if (strcmp(line, "work") == 0) return wait_for_work(p, rest);
    if (strcmp(line, "until") == 0) return run_until(p, rest);
    if (strcmp(line, "expect") == 0) return expect(p, rest, true);
    if (strcmp(line, "refuse") == 0) return expect(p, rest, false);
    if (strcmp(line, "window") == 0) return choose_window(p, rest);
    if (strcmp(line, "shot") == 0) return shoot(p, rest);
    if (strcmp(line, "type") != 0) return refuse(p, "no act of a key script:", line);
    for (const char *c = rest; *c != '\0'; c++)
        press_key(p, &(KeyPress){.key = KEY_CHARACTER, .character = (uint32_t)(unsigned char)*c});
    return ERROR_OK;
}

ErrorCode ui_keyscript_play(Shell *shell, const char *text, const char *name, const char *pictures,
                            Error *error) {
    Player p = {.shell = shell, .name = name, .pictures = pictures, .error = error};
    ErrorCode code = ERROR_OK;
    frame(&p, NULL);
    while (*text != '\0' && code == ERROR_OK) {
        char line[SCRIPT_LINE_MAX];
        size_t length = strcspn(text, "\n");
        p.line++;
        if (length >= sizeof line) return refuse(&p, "too long a line", "");
        memcpy(line, text, length);
        line[length] = '\0';
        text += length + (text[length] == '\n');
        while (length > 0 && isspace((unsigned char)line[length - 1]))
            line[--length] = '\0';
        if (length > 0 && line[0] != '#') code = play_line(&p, line);
    }
    return code;
}
