/* Keys written down: what a hand does at the keyboard, one act a line, played into a shell without a window or (by
   tests/journey/replay.sh) into a real one. Lines:
     press NAME [NAME ...]   keys one after the other: F3 Down Shift+Right Ctrl+Plus Alt+o Space, or a single
                             character as itself; NAME*5 five times
     type TEXT               every character of the rest of the line
     wait SECONDS            on the wall clock
     work SECONDS            while something is computed in the background, at most so long on the wall clock
     until DURATION          lets the night run, as fast as it can, to this time of it (0:30 h is 30min)
     expect WORDS            the screen says these words somewhere; fails if not
     refuse WORDS            it does not
     window instructor       what follows is pressed and said in the instructor's window, which opens; and back
     window trainee          to the other
     shot NAME               writes a picture, where a folder for pictures is given
   A # begins a comment. */
#ifndef UI_KEYSCRIPT_H
#define UI_KEYSCRIPT_H

#include "ui/shell.h"

/* Plays `text` (called `name` in errors). `pictures`: folder for shots, NULL: none. ERROR_FORMAT for a line that is
   not understood, ERROR_INTERNAL with what was on the screen for an expectation that does not hold; both with the
   line's number. */
MODEL_CHECKED ErrorCode ui_keyscript_play(Shell *shell, const char *text, const char *name, const char *pictures,
                                          Error *error);

/* One key by its name; false if there is none. */
bool ui_keyscript_key(const char *name, KeyPress *press);

/* Whether the screen says `words`, whatever the case of its letters and its line breaks. */
bool ui_keyscript_says(const Shell *shell, const char *words);

#endif
