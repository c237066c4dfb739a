/* From the session to the screen: plays each beat's samples at the time rate, advances the night when they
   run out, and fills the view. Also keeps the journal. The only part of ui/ that moves the night forward. */
#ifndef UI_FEED_H
#define UI_FEED_H

#include "model/error.h"
#include "sim/case.h"
#include "sim/session.h"
#include "ui/desk.h"
#include "ui/settings.h"
#include "ui/sound.h"
#include "ui/view.h"

typedef struct Feed Feed;

#define FEED_RATE_MAX 240.0

typedef struct FeedRequest {
    const Case *case_file;   /* case to open; NULL with resume_path */
    const char *resume_path; /* recorded night to go on with, or NULL */
    const char *save_path;   /* journal to write; NULL: a new one in the folder of nights */
    const char *trainee;     /* who works it; NULL or empty: not said */
    bool seed_given;
    uint64_t seed;
    bool unrecorded;         /* no journal */
    double rate_x; /* time rate to begin with; 0: 1 */
} FeedRequest;

/* Opens the night and its journal, paused. The caller closes it. On failure NULL and `error` says why. */
Feed *ui_feed_open(const FeedRequest *request, Error *error);

/* Closes the journal with a last snapshot and frees the feed; a night that has not ended can be resumed.
   Accepts NULL. */
MODEL_CHECKED ErrorCode ui_feed_close(Feed *feed, Error *error);

/* Lets `wall_s` seconds pass on the screen: advances the night as far as the time rate asks and `budget_s` of
   computing allows. A failure of the model stops the night: ERROR and its text, once. */
MODEL_CHECKED ErrorCode ui_feed_step(Feed *feed, double wall_s, double budget_s, Error *error);

/* What the user has chosen: units, sweep, what slows the time. Copied. */
void ui_feed_settings(Feed *feed, const Settings *settings);
/* The settings in force; the defaults until they are given. */
const Settings *ui_feed_settings_now(const Feed *feed);

/* Number of columns of the sweeps; empties them if it changes. */
void ui_feed_columns(Feed *feed, int columns);
const Sweep *ui_feed_sweep(const Feed *feed, LaneId lane);

/* Fills what changes quickly (clock, heart, desk) and, when due, numbers, trends and lists. `visible` is the
   number of order rows on show. */
void ui_feed_fill(Feed *feed, int visible, BedsideView *view);

/* The picture for a look: the heart of the last beat and the last seconds moment by moment (copied); returns
   the number of the moment on show now, -1 before the first beat. */
int64_t ui_feed_look(Feed *feed, HeartView *heart, HeartLoop *loop);

void ui_feed_pause(Feed *feed, bool paused);
bool ui_feed_paused(const Feed *feed);
/* One step slower (-1), faster (+1), or back to 1 (0). */
void ui_feed_rate(Feed *feed, int step);
/* All messages have been read. */
void ui_feed_seen(Feed *feed);

Desk *ui_feed_desk(Feed *feed);
const Session *ui_feed_session(const Feed *feed);
/* Gives what is pending on the desk and writes it to the journal. Returns the number of orders given. */
int ui_feed_confirm(Feed *feed);
/* Says an act in words (sim/acts.h) and writes it to the journal; a refusal changes nothing and says why. */
MODEL_CHECKED ErrorCode ui_feed_say(Feed *feed, const char *words, Error *error);
/* The same in the instructor's voice. Time that it takes back goes back on the screen as well. */
MODEL_CHECKED ErrorCode ui_feed_instruct(Feed *feed, const char *words, Error *error);
/* How often time was taken back in this night since it was opened. */
int64_t ui_feed_takes(const Feed *feed);
/* The heart as it is now, whatever picture the trainee has; `shown` is false before the first beat. */
void ui_feed_true_heart(Feed *feed, HeartView *heart);
/* Acknowledges an alarm (AlarmId; negative: the first); where none waits, the strip goes on to the next one. */
void ui_feed_alarm_seen(Feed *feed, int id);
/* Pauses the alarms' sound, or ends the pause. */
void ui_feed_alarm_pause(Feed *feed);
/* There is no sound device: shown as silent. */
void ui_feed_no_sound(Feed *feed);
/* What decides about alarm sounds now. */
SoundInputs ui_feed_sounds(const Feed *feed);
/* The time of the night on show, s: a little behind the session, which is ahead by part of a beat. */
double ui_feed_shown_s(const Feed *feed);
/* The time rate in force. */
double ui_feed_rate_now(const Feed *feed);
/* Number of the sample of the last beat that is on show; -1 before the first beat. */
int ui_feed_sample_now(const Feed *feed);
/* Clots beside the chambers, mL: left and right ventricle, left and right atrium. */
void ui_feed_clots(Feed *feed, double clot_ml[HEART_CHAMBER_COUNT]);
/* Short name of a displayed quantity, and a value of it with its unit, as the settings want it shown. */
void ui_feed_quantity(const Feed *feed, DisplayId id, double value, char name[TEXT_SHORT],
                      char text[TEXT_SHORT]);
/* The newest prediction whose time has come and that was not put away is told in the view; put it away. */
void ui_feed_told_seen(Feed *feed);
/* Where the night is recorded; empty if it is not. */
const char *ui_feed_journal_path(const Feed *feed);
/* Text of a failure to record, to be shown once; empty if none. */
const char *ui_feed_journal_problem(const Feed *feed);

#endif
