/* Predict first: before an order takes effect, the trainee says which way three numbers will go and how sure
   that is; later, what happened is put beside it. */
#ifndef UI_PREDICT_H
#define UI_PREDICT_H

#include "sim/predictions.h"
#include "ui/bedside.h"
#include "ui/sheet.h"

enum { PREDICT_SURE_ROW = PREDICTION_PARTS, PREDICT_ROWS = PREDICTION_PARTS + 1 };

/* One number that is asked about. */
typedef struct PredictPart {
    DisplayId quantity;
    char name[TEXT_SHORT], now[TEXT_SHORT]; /* CVP; 17 mmHg */
    int way;                                /* PredictionWay; -1: not said yet */
} PredictPart;

typedef struct PredictView {
    Order order;              /* the one that is asked about */
    char what[TEXT_LINE * 2]; /* Milrinone 0.25 mcg/kg/min */
    int others;               /* orders that go along with it */
    double horizon_s;
    int parts;
    PredictPart part[PREDICTION_PARTS];
    int sure; /* 1 to 5; 0: not said yet */
    char problem[TEXT_LONG];
    int frames; /* drawn since it was opened */
} PredictView;

/* The parts of the card, as numbers of INTENT_PART. */
typedef enum PredictPartId {
    PREDICT_PART_WAY,                                        /* + the number's index; amount: PredictionWay */
    PREDICT_PART_SURE = PREDICT_PART_WAY + PREDICTION_PARTS, /* amount: 1 to 5 */
    PREDICT_PART_GIVE,
    PREDICT_PART_SKIP
} PredictPartId;

/* A card over the corner of the bedside. */
extern const SheetKind UI_PREDICT_SHEET;

/* Whether confirming what is pending now has to be preceded by a prediction. */
bool ui_predict_wanted(Feed *feed);

/* Answers still missing. */
int ui_predict_missing(const PredictView *predict);

/* What the card says, for sim/predictions.h. */
PredictionAnswer ui_predict_answer(const PredictView *predict);

/* Carries out an intent of the card but giving and skipping. */
void ui_predict_change(PredictView *predict, const Intent *intent);

/* Draws the card and takes its keys. */
void ui_predict_draw(Ui *ui, Rect screen, const PredictView *predict, Intents *intents);

/* Height of the card that tells what became of a prediction, px; 0: there is none to tell. */
double ui_predict_told_height(const BedsideLayout *layout, const BedsideView *view);

/* Draws it at the bottom of the bedside's messages and orders, which leave it the room: what was said, what
   happened, right or not. INTENT_PREDICTION_SEEN puts it away. */
void ui_predict_told(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);

/* A direction as a sign: an arrowhead, or two bars. */
void ui_predict_sign(Ui *ui, double x, double y, double size_px, PredictionWay way, Colour ink);

#endif
