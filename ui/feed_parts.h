/* Inside the feed: its state, shared by feed.c (time), feed_view.c (numbers and lists) and feed_heart.c
 * (picture). */
#ifndef UI_FEED_PARTS_H
#define UI_FEED_PARTS_H

#include "sim/journal.h"
#include "ui/feed.h"

struct Feed {
    Session *session;
    Journal *journal;    /* NULL: not recorded */
    SessionState *state; /* room for reading clots out of the patient */
    char journal_path[JOURNAL_PATH_MAX];
    char journal_problem[TEXT_LONG];
    Desk desk;
    Settings settings;
    Sweep sweep[LANE_COUNT];
    int columns;
    double sweep_pos;   /* columns written since the start, with fraction */
    double sweep_rate;  /* time rate the lanes are written at */
    double play_tick;   /* place in the night of the sample shown last, in ticks, with fraction */
    int64_t shown_tick; /* samples before this tick are in the sweeps */
    double rate;
    bool paused, behind, failed;
    double wall_s;        /* time on the screen since the start */
    double numbers_due_s; /* next refresh of numbers on the wall clock */
    bool numbers_now;
    int range[LANE_COUNT]; /* scale in force, index into the lane's choices */
    double range_since_s[LANE_COUNT];
    double
        outside_since_s[DISPLAY_COUNT]; /* case time since when a value has been outside; negative: inside */
    int64_t log_seen;                   /* messages with a smaller number have been read */
    double told_seen_s;                 /* predictions whose time came until then have been put away */
    int alarms_walked;                  /* alarms passed over in the strip */
    double alarms_walked_told;          /* alarms told by then */
    bool no_device;                     /* nothing can sound */
    int64_t takes;                      /* times that were taken back */
    int64_t log_heard;                  /* messages with a smaller number have slowed the time rate */
    /* heart */
    double heart_due_s;
    double heart_tick; /* place in the last beat */
    double left_travel_ml, right_travel_ml;
    double aortic_open_s[HEART_BEATS];
    int aortic_beats;
    double pump_l_min, native_l_min, right_l_min, right_pump_l_min, mitral_leak_l_min, tricuspid_leak_l_min,
        aortic_leak_l_min, systemic_l_min; /* averages over some seconds */
    bool averages_started;
    double clot_ml[HEART_CHAMBER_COUNT];
    HeartLoop loop;
    HeartView past_heart; /* as it was shown last; nothing of it is newer than that */
    bool past_known;
    double past_s;
};

/* Takes in a beat that was just computed. */
void ui_feed_heart_beat(Feed *feed, const Beat *beat);
/* Adds its moments to the loop. */
void ui_feed_loop_beat(Feed *feed, const Beat *beat);
/* Moves the picture on by wall_s. */
void ui_feed_heart_step(Feed *feed, double wall_s);
void ui_feed_heart_fill(Feed *feed, HeartView *heart);
/* The same for the bedside: without a picture it is the one shown last, with its time, or empty. */
void ui_feed_heart_bedside(Feed *feed, HeartView *heart);
/* Reads the clots out of the patient's state. */
void ui_feed_heart_clots(Feed *feed);

/* Numbers, trends, lanes' scales, pump strip, small values, strips. */
void ui_feed_numbers(Feed *feed, BedsideView *view);
/* Messages and orders from the log. */
void ui_feed_lists(Feed *feed, BedsideView *view);

/* The alarms on show; the alarm that is marked at a number. */
void ui_feed_alarms(Feed *feed, AlarmStrip *strip);
void ui_feed_mark(const Feed *feed, DisplayId display, Reading *reading);

/* Whether an entry is a call, a note or what came of a prediction, and then its line (may be NULL). */
bool ui_feed_says(const LogEntry *entry, ActionLine *line);
/* What became of the newest prediction whose time has come. */
void ui_feed_told(const Feed *feed, PredictionTold *told);

#endif
