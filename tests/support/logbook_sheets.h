/* An invented logbook for tests of its sheet. */
#ifndef TESTS_SUPPORT_LOGBOOK_SHEETS_H
#define TESTS_SUPPORT_LOGBOOK_SHEETS_H

#include "ui/logbook.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Fills a zeroed sheet with `rows` nights. */
static inline void logbook_sheet_fill(LogbookSheet *s, int rows) {
    static const char *const TITLES[] = {"Finding the speed", "The tired right heart",
                                         "Behind the right heart"};
    static const char *const OUTCOMES[] = {"went well", "went with a price", "lasting harm",
                                           "left at 2:40 h"};
    static const char *const CALLS[] = {"Pump too slow, congestion, 60 %", "Tamponade all round, 90 %", ""};
    CalibrationItem item[24];
    s->loaded = true;
    s->name = s->chosen_case = -1;
    s->names = 2;
    snprintf(s->trainee[0], JOURNAL_NAME_MAX, "Robin");
    snprintf(s->trainee[1], JOURNAL_NAME_MAX, "Sam");
    s->cases = 3;
    for (int i = 0; i < 3; i++) {
        snprintf(s->case_id[i], JOURNAL_NAME_MAX, "case-%d", i);
        snprintf(s->case_title[i], CASE_LINE_MAX, "%s", TITLES[i]);
    }
    snprintf(s->working, sizeof s->working, "Robin");
    snprintf(s->folder, sizeof s->folder, "/nights");
    s->rows = rows;
    for (int i = 0; i < rows; i++) {
        LogbookRow *row = &s->item[i];
        *row =
            (LogbookRow){.right = (i % 4) == 1 ? 0 : 2,
                         .score = i % 7 == 3 ? NAN : fmin(0.2 + 0.03 * ((double)(rows - i) + i * 5 % 7), 1.0),
                         .trouble = i % 6 != 5,
                         .recognition_s = i % 6 == 5 || i % 5 == 2 ? -1.0 : 300.0 + 90.0 * i};
        snprintf(row->when, sizeof row->when, "11-%02d 20:%02d", 28 - i % 28, i % 60);
        snprintf(row->trainee, sizeof row->trainee, "%s", i % 3 == 0 ? "Sam" : "Robin");
        snprintf(row->case_title, sizeof row->case_title, "%s", TITLES[i % 3]);
        snprintf(row->outcome, sizeof row->outcome, "%s", OUTCOMES[i % 4]);
        snprintf(row->call, sizeof row->call, "%s", CALLS[i % 3]);
        snprintf(row->file, sizeof row->file, "%d.night", i);
    }
    for (int i = 0; i < 24; i++)
        item[i] = (CalibrationItem){0.1 + 0.2 * (i % 5), i % 5 > 1 || i % 3 == 0};
    sim_calibration_make(item, 24, &s->calls);
    for (int i = 0; i < 15; i++)
        item[i] = (CalibrationItem){0.33 + 0.15 * (i % 4), i % 4 > 0 && i % 5 != 0};
    sim_calibration_make(item, 15, &s->predictions);
    s->next_count = 3;
    for (int i = 0; i < 3; i++) {
        static const char *const WHY[] = {"Tamponade all round was missed 3 times, mostly called Bleeding",
                                          "weakest theme: right heart, mean score 54 % of 5 nights",
                                          "not played yet, level 2"};
        snprintf(s->next_case[i], CASE_LINE_MAX, "%s", TITLES[(i + 1) % 3]);
        snprintf(s->next_why[i], LOGBOOK_REASON_MAX, "%s", WHY[i]);
    }
    s->confused = 1;
    snprintf(s->confused_text, sizeof s->confused_text,
             "3\u00d7 it was Tamponade all round and was called Bleeding");
}

#endif
