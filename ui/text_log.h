/* What happens on the screen, in words and at once, to a file or a pipe: for a screen reader beside the window, since
   the window itself shows nothing to one. A line each: alarms, messages, the control with the focus, what is said for
   a moment; a card or another screen, and whatever is on show when V is pressed, in full. */
#ifndef UI_TEXT_LOG_H
#define UI_TEXT_LOG_H

#include "ui/shell.h"

typedef struct TextLog TextLog;

/* Opens `path` to add to it; a pipe needs its reader first. On failure NULL, and `error` says why. */
TextLog *ui_text_log_open(const char *path, Error *error);
/* Accepts NULL. */
void ui_text_log_close(TextLog *log);

/* Tells what the last frame changed. Once the reader has gone it stays silent. Accepts NULL. */
void ui_text_log_frame(TextLog *log, const Shell *shell);
/* Has the screen told in full once its next frame is drawn. Accepts NULL. */
void ui_text_log_ask(TextLog *log);

#endif
