/* The look in words: why there is no picture. */
#include "ui/look.h"

#include <math.h>
#include <stdio.h>

/* "2:40"; minutes and seconds still to wait, rounded up. */
static void wait_text(char *text, size_t size, double wait_s) {
    int s = (int)ceil(fmax(wait_s, 0.0));
    snprintf(text, size, "%d:%02d", s / 60, s % 60);
}

void ui_look_words(const HeartView *heart, char words[TEXT_LINE], char detail[TEXT_LINE]) {
    static const struct {
        const char *words, *detail;
    } TEXT[] = {
        [HEART_NOT_BEATEN] = {"No beat yet", ""},
        [HEART_NO_PROBE] = {"No picture in this case", "There is no probe: judge by numbers and signs."},
        [HEART_ASK] = {"No probe in place", "E asks for a look; the night goes on meanwhile."},
        [HEART_COMING] = {"The probe is being placed", "ready in "},
        [HEART_RESTING] = {"The probe is needed elsewhere", "again in "},
        [HEART_USED_UP] = {"No more looks in this night", "Those that the case allows have been used."},
    };
    char wait[TEXT_SHORT] = "";
    if (heart->absence == HEART_COMING || heart->absence == HEART_RESTING)
        wait_text(wait, sizeof wait, heart->absent_s);
    snprintf(words, TEXT_LINE, "%s", TEXT[heart->absence].words);
    snprintf(detail, TEXT_LINE, "%s%s", TEXT[heart->absence].detail, wait);
}
