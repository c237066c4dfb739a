/* Look-alikes: which other causes could have brought the same fall, from when on the numbers on show tell
   them from the case's own cause, and from when on the picture does.

   Each alternative cause (alternatives.def) is played in the same patients, from the moment at which the
   case's own cause begins, and steered: its severity is moved every 10 s so that the quantity that leads (the
   pump's flow if it falls, else the mean pressure, else the venous pressure) goes as it goes in the same
   patient with the case's cause. Whatever else differs is then due to what is wrong, not to how bad it is.
   Nothing is treated in either group; wedge readings are ordered where the case allows them.

   The drains' reading is not among the numbers: a drain falls silent or runs for reasons of its own, and a
   case often lets it do so beside its cause; what it would tell is given apart.

   Numbers are judged by their change since before the trouble, as monitors' trends show it; pictures by
   theirs against the outline of the heart before the case began, which the picture shows. How well is the
   area of sim/separation.h: of the best single reading, or of a discriminant of three, whichever is larger.
 */
#ifndef SIM_ALIKE_H
#define SIM_ALIKE_H

#include "sim/alternatives.h"
#include "sim/rehearse.h"

enum {
    ALIKE_TIMES_MAX = 12,
    ALIKE_KEPT = 4,     /* look-alikes that are played in all patients: those most alike */
    ALIKE_FEATURES = 3, /* readings in the discriminant */
    ALIKE_WHY_MAX = 160
};

/* How well two groups are told apart at one time. */
typedef struct AlikeView {
    double area;       /* best single quantity, folded to 0.5..1; NaN: too few patients left */
    int best;          /* which: DisplayId, or row of sim_alike_picture */
    bool change;       /* own and other are changes since before the trouble; else values */
    double own, other; /* medians of that quantity */
    double together;   /* area of the discriminant */
} AlikeView;

/* One alternative cause. */
typedef struct AlikeCause {
    AlternativeId id;
    bool follows;    /* can make the leading quantity go alike */
    bool kept;       /* among those played in all patients */
    double miss;     /* mean distance of the leading quantity from what it followed, in its unit */
    double alike;    /* distance of all other numbers in the case's own patient; smaller: more alike */
    double severity; /* at the end, 0..1, in the case's own patient */
    AlikeView number[ALIKE_TIMES_MAX], picture[ALIKE_TIMES_MAX];
    double drain[ALIKE_TIMES_MAX]; /* area of the drains' reading alone; NaN: not known */
    int number_from, picture_from; /* first time from which on it is told apart; -1: never */
} AlikeCause;

typedef struct Alike {
    char why_not[ALIKE_WHY_MAX]; /* not empty: there was nothing to compare */
    double onset_s;              /* in the case's own patient */
    DiagnosisId truth;
    DisplayId lead; /* quantity that was made to go alike */
    double least;   /* its smallest change that counts */
    bool falls;
    int patients; /* of each group, the case's own among them */
    int played;
    int times;
    double after_s[ALIKE_TIMES_MAX];     /* since the onset */
    double lead_change[ALIKE_TIMES_MAX]; /* of the leading quantity, median of the own group */
    int moved; /* first time at which that is a change that counts: before it there is nothing to tell apart
                */
    int cause_count;
    AlikeCause cause[ALTERNATIVE_COUNT]; /* kept ones first, most alike first */
} Alike;

/* A measure of the picture: name, unit, decimals. */
typedef struct AlikePicture {
    const char *label, *unit;
    ObservableId observable;
    int decimals;
    double sd; /* with which it is read: in its unit, or as share of it */
    bool share;
    double times; /* factor for showing it: 100 for percent */
} AlikePicture;

const AlikePicture *sim_alike_picture(int row);

/* Plays and measures. `untouched` is the case's own course. *alike is newly made; free with sim_alike_free.
 */
MODEL_CHECKED ErrorCode sim_alike_measure(const Case *case_file, const RehearseOptions *options,
                                          const RehearseCourse *untouched, Alike **alike, Error *error);

/* Accepts NULL. */
void sim_alike_free(Alike *alike);

/* "not told apart", "partly", "told apart". */
const char *sim_alike_word(double area);

/* The area of a view: of the best single quantity or of those together, whichever is larger; NaN: not known.
 */
double sim_alike_area(const AlikeView *view);

/* The matrix over time and what it comes to, as text. */
void sim_alike_print(const Alike *alike, FILE *out);

/* What it comes to for one cause, in plain words; always terminated. */
void sim_alike_say_numbers(const Alike *alike, const AlikeCause *cause, char *text, size_t size);
void sim_alike_say_rest(const Alike *alike, const AlikeCause *cause, char *text,
                        size_t size); /* may be empty */
void sim_alike_say_picture(const Alike *alike, const AlikeCause *cause, char *text, size_t size);

#endif
