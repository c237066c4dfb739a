/* What a what-if costs: bench_whatif SESSION [VARIANTS]. The whole night played twice on two threads (the way
   without kept states), the changed course from the last state before the change, and a range. Processor time
   is what counts on a machine that does other work as well; wall-clock time is printed beside it. */
#include "sim/whatif_job.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

typedef struct Play {
    const Recall *recall;
    const RerunActs *acts;
    RerunCourse course;
} Play;

static double clock_s(clockid_t which) {
    struct timespec now;
    clock_gettime(which, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void *play_all(void *context) {
    Play *play = context;
    Error error;
    if (sim_rerun_play(play->recall->case_file, &play->recall->options, play->acts,
                       sim_whatif_until_s(play->recall), NULL, NULL, &play->course, &error) != ERROR_OK)
        puts(error.what);
    return NULL;
}

static void report(const char *what, double wall_s, double processor_s) {
    printf("%-52s %8.1f s processor %8.1f s wall clock\n", what,
           clock_s(CLOCK_PROCESS_CPUTIME_ID) - processor_s, clock_s(CLOCK_MONOTONIC) - wall_s);
    fflush(stdout);
}

static void measure(const Recall *recall, const RerunActs *acts, const RerunActs *otherwise, int variants) {
    Play one = {.recall = recall, .acts = acts}, two = {.recall = recall, .acts = otherwise};
    pthread_t thread;
    Error error;
    RerunCourse night, other;
    WhatifRange range;
    double wall_s = clock_s(CLOCK_MONOTONIC), processor_s = clock_s(CLOCK_PROCESS_CPUTIME_ID);
    bool threaded = pthread_create(&thread, NULL, play_all, &one) == 0;
    (void)play_all(&two);
    if (threaded) pthread_join(thread, NULL);
    report("both courses from the beginning, two threads", wall_s, processor_s);
    wall_s = clock_s(CLOCK_MONOTONIC);
    processor_s = clock_s(CLOCK_PROCESS_CPUTIME_ID);
    if (sim_whatif_compare(recall, acts, otherwise, sim_whatif_until_s(recall), NULL, NULL, &night, &other,
                           &error) != ERROR_OK)
        puts(error.what);
    report("the record, and the other from the kept state", wall_s, processor_s);
    printf("  played from %.0f s to %.0f s of the night\n", other.from_s, other.reached_s);
    wall_s = clock_s(CLOCK_MONOTONIC);
    processor_s = clock_s(CLOCK_PROCESS_CPUTIME_ID);
    if (variants > 0 &&
        sim_whatif_range(recall->case_file, &recall->options, otherwise, sim_whatif_until_s(recall), variants,
                         sim_whatif_threads(), NULL, NULL, NULL, &range, &error) != ERROR_OK)
        puts(error.what);
    char what[64];
    snprintf(what, sizeof what, "range over %d like patients", variants);
    report(what, wall_s, processor_s);
    sim_rerun_course_free(&one.course);
    sim_rerun_course_free(&two.course);
    sim_rerun_course_free(&night);
    sim_rerun_course_free(&other);
}

int main(int argc, char **argv) {
    Error error;
    RerunActs acts, otherwise = {.count = 0};
    Recall *recall = argc > 1 ? sim_recall_open(argv[1], &error) : NULL;
    if (recall == NULL || !sim_whatif_acts(recall, &acts)) {
        fprintf(stderr, "bench_whatif: %s\n", argc > 1 ? error.what : "give a recorded night of this build");
        return 1;
    }
    double *time_s = calloc((size_t)acts.count + 1, sizeof *time_s);
    if (time_s == NULL) return 1;
    printf("night of %.0f s, %d of %d acts moved 20 minutes earlier, first change at ",
           recall->night.reached_s, sim_whatif_earlier(recall, &acts, WHATIF_EARLIER_S, time_s), acts.count);
    for (int i = 0; i < acts.count; i++)
        (void)sim_rerun_acts_add(&otherwise, time_s[i], acts.act[i].kind, acts.act[i].words);
    printf("%.0f s\n", sim_whatif_parts_s(&acts, &otherwise));
    measure(recall, &acts, &otherwise, argc > 2 ? atoi(argv[2]) : WHATIF_VARIANTS);
    free(time_s);
    sim_rerun_acts_free(&acts);
    sim_rerun_acts_free(&otherwise);
    sim_recall_free(recall);
    return 0;
}
