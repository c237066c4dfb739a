/* The card of the call. */
#include "ui/call.h"
#include "ui/bedside.h"
#include "ui/cards.h"
#include "ui/pick.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

enum { ID_KINDS = 2001, ID_NAMES, ID_CONFIDENCE, ID_PLAN, ID_GIVE, ID_CANCEL };

#define CARD_WIDTH_PX  1120.0
#define CARD_HEIGHT_PX 620.0
#define ROW_MOST_PX    38.0
#define HEAD_PX        30.0
#define GAP_PX         28.0
#define FIELD_PX       40.0
#define STEPS_PX       30.0
#define LINE_PX        50.0

static void kind_name(const void *what, int index, char name[PICK_NAME_MAX]) {
    (void)what;
    snprintf(name, PICK_NAME_MAX, "%s", sim_diagnoses_kind_label((ProblemKind)index));
}

/* The diagnoses of the kind on show. */
typedef struct Names {
    int count;
    DiagnosisId id[DIAGNOSIS_COUNT];
} Names;

static void diagnosis_name(const void *what, int index, char name[PICK_NAME_MAX]) {
    const Names *names = what;
    snprintf(name, PICK_NAME_MAX, "%s", sim_diagnoses_row(names->id[index])->label);
}

static void heading(Ui *ui, Rect column, double y, const char *text) {
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, column.x, y,
                     column.w, text);
}

static void draw_what(Ui *ui, Rect kinds, Rect list, const CallView *call, Intents *intents) {
    double row = fmin(ROW_MOST_PX, floor((kinds.h - HEAD_PX) / PROBLEM_COUNT));
    heading(ui, kinds, kinds.y + 14.0, "Kind of problem");
    heading(ui, list, list.y + 14.0, "What it is");
    (void)ui_rect_cut_top(&kinds, HEAD_PX);
    (void)ui_rect_cut_top(&list, HEAD_PX);
    int kind = ui_pick_rows(ui, ID_KINDS, kinds, row, "Kind of problem", PROBLEM_COUNT, (int)call->kind,
                            kind_name, NULL);
    if (kind >= 0) ui_intents_add(intents, INTENT_PART, CALL_PART_KIND, kind, false);
    Names names = {.count = 0};
    int chosen = -1;
    for (int i = 0; i < DIAGNOSIS_COUNT; i++) {
        if (sim_diagnoses_row((DiagnosisId)i)->kind != call->kind) continue;
        if ((DiagnosisId)i == call->diagnosis) chosen = names.count;
        names.id[names.count++] = (DiagnosisId)i;
    }
    /* to the right of the kinds, and back */
    if (ui->focus == ID_KINDS && ui_widgets_take_key(ui, KEY_RIGHT, NULL)) {
        ui->focus = ID_NAMES;
        if (chosen < 0) ui_intents_add(intents, INTENT_PART, CALL_PART_DIAGNOSIS, names.id[0], false);
    } else if (ui->focus == ID_NAMES && ui_widgets_take_key(ui, KEY_LEFT, NULL))
        ui->focus = ID_KINDS;
    int name =
        ui_pick_rows(ui, ID_NAMES, list, row, "What it is", names.count, chosen, diagnosis_name, &names);
    if (name >= 0) ui_intents_add(intents, INTENT_PART, CALL_PART_DIAGNOSIS, names.id[name], false);
}

/* Calls made earlier in the night, newest first. */
static void draw_earlier(Ui *ui, Rect r, const CallView *call) {
    const Theme *t = ui->theme;
    double y = r.y + 14.0;
    heading(ui, r, y, "Your calls so far");
    y += 28.0;
    if (call->earliers == 0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, r.x, y, "none yet");
        return;
    }
    for (int i = 0; i < call->earliers; i++) {
        const CallLine *line = &call->earlier[i];
        double height = line->plan[0] != '\0' ? LINE_PX : LINE_PX - 22.0;
        if (y + height - LINE_PX + 24.0 > r.y + r.h) break;
        char when[TEXT_SHORT], text[TEXT_LINE * 2];
        ui_tiles_clock(when, sizeof when, line->time_s, false);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y, when);
        snprintf(text, sizeof text, "%d %%: %s", line->confidence_percent,
                 sim_diagnoses_row(line->diagnosis)->label);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x + 60.0, y,
                         r.w - 60.0, text);
        if (line->plan[0] != '\0')
            ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 60.0, y + 21.0,
                             r.w - 60.0, line->plan);
        y += height;
    }
}

static void draw_how(Ui *ui, Rect r, const CallView *call, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE] = "not said yet";
    if (call->confidence >= 0)
        snprintf(text, sizeof text, "%d %%, %s", 10 * call->confidence,
                 ui_call_confidence_word(call->confidence));
    heading(ui, r, r.y + 14.0, "How sure?");
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT,
                     call->confidence >= 0 ? t->text1 : t->text3, r.x + r.w, r.y + 14.0, r.w - 100.0, text);
    (void)ui_rect_cut_top(&r, HEAD_PX - 4.0);
    Rect steps = ui_rect_cut_top(&r, STEPS_PX);
    int step = ui_pick_steps(ui, ID_CONFIDENCE, steps, "How sure", CALL_CONFIDENCE_STEPS, call->confidence);
    if (step >= 0) ui_intents_add(intents, INTENT_PART, CALL_PART_CONFIDENCE, step, false);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x, r.y + 18.0, "0");
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text3, r.x + r.w / 2.0, r.y + 18.0, "50");
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text3, r.x + r.w, r.y + 18.0, "100 %");
    (void)ui_rect_cut_top(&r, 34.0);
    heading(ui, r, r.y + 14.0, "Plan");
    (void)ui_rect_cut_top(&r, HEAD_PX - 4.0);
    ui_textfield_draw(ui, ID_PLAN, ui_rect_cut_top(&r, FIELD_PX), &call->plan,
                      "what you will do next, in a line", INTENT_PART, CALL_PART_PLAN, intents);
    (void)ui_rect_cut_top(&r, 20.0);
    draw_earlier(ui, r, call);
}

void ui_call_draw(Ui *ui, Rect screen, const CallView *call, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    ui_cards_dim(ui, screen);
    if (call->frames <= 1) ui->focus = ID_KINDS;
    Rect room = ui_cards_frame(ui, screen, CARD_WIDTH_PX, CARD_HEIGHT_PX, "Your call");
    Rect foot = {room.x, room.y + room.h + 20.0, room.w, 44.0}, rest = room;
    Rect kinds = ui_rect_cut_left(&rest, floor(0.19 * room.w));
    (void)ui_rect_cut_left(&rest, 12.0);
    Rect list = ui_rect_cut_left(&rest, floor(0.38 * room.w));
    (void)ui_rect_cut_left(&rest, GAP_PX);
    draw_what(ui, kinds, list, call, intents);
    draw_how(ui, rest, call, intents);
    const char *missing = ui_call_missing(call);
    Rect give = {foot.x, foot.y, 260.0, foot.h}, cancel = {foot.x + foot.w - 130.0, foot.y, 130.0, foot.h};
    bool done = ui_widgets_button(ui, ID_GIVE, give, missing == NULL ? "Make the call" : missing,
                                  missing == NULL ? BUTTON_PRIMARY : BUTTON_PLAIN);
    bool back = ui_widgets_button(ui, ID_CANCEL, cancel, "Not now", BUTTON_PLAIN);
    done = ui_widgets_take_default(ui) || done;
    back = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || back;
    if (done) ui_intents_add(intents, INTENT_PART, CALL_PART_GIVE, 0.0, false);
    if (back) ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
    ui_draw_text_fit(
        ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, call->problem[0] != '\0' ? t->text1 : t->text3,
        give.x + give.w + 16.0, foot.y + 27.0, cancel.x - give.x - give.w - 32.0,
        call->problem[0] != '\0' ? call->problem : "Tab: next part, arrows choose, Enter. The night waits.");
}
