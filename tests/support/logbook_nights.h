/* A folder of nights with known results, for tests of the logbook: one night is recorded, the others are
   copies with results of their own. */
#ifndef TESTS_SUPPORT_LOGBOOK_NIGHTS_H
#define TESTS_SUPPORT_LOGBOOK_NIGHTS_H

#include "sim/logbook.h"
#include "tests/support/recorded_night.h"

#include <sqlite3.h>

static inline void logbook_nights_change(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    char *message = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &message) == SQLITE_OK, "%s in %s", message, sql);
    sqlite3_close(db);
}

static inline void logbook_nights_copy(const char *from, const char *to) {
    char block[4096];
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    ck_assert(in != NULL && out != NULL);
    for (size_t n; (n = fread(block, 1, sizeof block, in)) > 0;)
        fwrite(block, 1, n, out);
    fclose(in);
    fclose(out);
}

/* A night of the folder. */
typedef struct LogbookNightsRow {
    const char *day, *trainee, *case_id, *theme, *outcome;
    double got, most, onset_s, call_s;
    const char *called, *truth; /* NULL: no call */
    int right, confidence_percent;
} LogbookNightsRow;

static const LogbookNightsRow LOGBOOK_NIGHTS[] = {
    {"2026-11-01", "Robin", "clots", "tamponade", "harm", 20, 100, 600, -1, "right_failure", "tamponade", 0,
     90},
    {"2026-11-03", "Robin", "clots", "tamponade", "mixed", 50, 100, 600, 3000, "tamponade", "tamponade", 2,
     60},
    {"2026-11-05", "Robin", "dry", "volume", "good", 90, 100, 300, 900, "hypovolaemia", "hypovolaemia", 2,
     80},
    {"2026-11-07", "Robin", "clots", "tamponade", "good", 80, 100, 600, 1200, "right_failure", "tamponade", 0,
     70},
    {"2026-11-09", "Sam", "dry", "volume", "good", 70, 100, 300, 600, "bleeding", "hypovolaemia", 1, 50},
    {"2026-11-10", "Robin", "dry", "volume", "", 10, 100, 300, -1, NULL, NULL, 0, 0}, /* left half-way */
};

enum { LOGBOOK_NIGHTS_COUNT = sizeof LOGBOOK_NIGHTS / sizeof LOGBOOK_NIGHTS[0] };

/* Fills `folder` with the nights above. */
static inline void logbook_nights_make(const char *folder) {
    char base[256], path[256], sql[2048];
    recorded_night_make(folder, "base", "Robin", 60);
    snprintf(base, sizeof base, "%s/base", folder);
    for (int i = 0; i < LOGBOOK_NIGHTS_COUNT; i++) {
        const LogbookNightsRow *row = &LOGBOOK_NIGHTS[i];
        snprintf(path, sizeof path, "%s/%s-%s.night", folder, row->day, row->case_id);
        logbook_nights_copy(base, path);
        snprintf(
            sql, sizeof sql,
            "UPDATE night SET begun='%sT20:00:00Z', trainee='%s', case_id='%s', case_title='Case %s', "
            "ended=%d;"
            "DELETE FROM result WHERE key NOT IN ('reached_s','level'); DELETE FROM result_line;"
            "INSERT INTO result VALUES('theme','%s'),('outcome','%s'),('score_got','%g'),('score_most','%g'),"
            "('trouble_s','%g'),('call_s','%g');"
            "INSERT INTO result_line VALUES(NULL,'target',-1,'art_mean_mmhg','',30,40),"
            "(NULL,'objective',100,'Named.','named',1,1),(NULL,'objective',-1,'Moon.','never',0,1),"
            "(NULL,'prediction',50,'cvp_mmhg','up, seen up',1,75),"
            "(NULL,'prediction',50,'art_mean_mmhg','up, seen down',0,75);",
            row->day, row->trainee, row->case_id, row->case_id, row->outcome[0] != '\0', row->theme,
            row->outcome, row->got, row->most, row->onset_s, row->call_s);
        logbook_nights_change(path, sql);
        if (row->called == NULL) continue;
        snprintf(sql, sizeof sql, "INSERT INTO result_line VALUES(NULL,'call',500,'%s','%s',%d,%d)",
                 row->called, row->truth, row->right, row->confidence_percent);
        logbook_nights_change(path, sql);
    }
}

#endif
