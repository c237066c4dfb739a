/* The call: what the trainee thinks is wrong, which kind of problem it is, how sure, and what is planned. The
   night waits. Calls made earlier in the night stand beside it. */
#ifndef UI_CALL_H
#define UI_CALL_H

#include "sim/diagnoses.h"
#include "ui/sheet.h"
#include "ui/textfield.h"

enum { CALL_LINES_MAX = 12, CALL_CONFIDENCE_STEPS = 11 };

/* A call made earlier in the night. */
typedef struct CallLine {
    double time_s;
    DiagnosisId diagnosis;
    int confidence_percent;
    char plan[TEXT_LINE];
} CallLine;

typedef struct CallView {
    ProblemKind kind;      /* whose diagnoses are on show */
    DiagnosisId diagnosis; /* DIAGNOSIS_COUNT: none chosen yet */
    int confidence;        /* step: 0 to 10 for 0 to 100 %; -1: not said yet */
    TextField plan;
    char problem[TEXT_LONG];          /* why the call was not taken; empty if it was */
    CallLine earlier[CALL_LINES_MAX]; /* newest first */
    int earliers;                     /* in use */
    bool begun;                       /* opened before in this night */
    int frames;                       /* drawn since it was opened */
} CallView;

/* The parts of the card, as numbers of INTENT_PART. */
typedef enum CallPart {
    CALL_PART_KIND,       /* amount: ProblemKind */
    CALL_PART_DIAGNOSIS,  /* amount: DiagnosisId */
    CALL_PART_CONFIDENCE, /* amount: step */
    CALL_PART_PLAN,       /* amount: an edit (ui/textfield.h) */
    CALL_PART_GIVE
} CallPart;

/* A card over the bedside. */
extern const SheetKind UI_CALL_SHEET;

/* "about as likely as not", for a step of confidence. */
const char *ui_call_confidence_word(int step);

/* What is still missing before the call can be made; NULL: nothing. */
const char *ui_call_missing(const CallView *call);

/* Writes the act the card stands for, as sim/acts.h reads it. Nothing may be missing. */
void ui_call_words(const CallView *call, char *text, size_t size);

/* Carries out an intent of the card but CALL_PART_GIVE. */
void ui_call_change(CallView *call, const Intent *intent);

/* Draws the card and takes its keys. */
void ui_call_draw(Ui *ui, Rect screen, const CallView *call, Intents *intents);

#endif
