/* Inside the shell: what shell.c (the night, cards), shell_cases.c (the list) and shell_sheets.c (sheets)
 * call of each other. */
#ifndef UI_SHELL_PARTS_H
#define UI_SHELL_PARTS_H

#include "ui/shell.h"

/* Reads the settings; after the screen was started. */
void ui_shell_settings_start(Shell *shell);
/* Gives them to the screen and to the night, and keeps what was changed. */
void ui_shell_settings_frame(Shell *shell, double now_s);
/* Keeps what was changed last. */
void ui_shell_settings_stop(Shell *shell);

/* Opens sheet `id`, or closes the one that is open with SHEET_NONE; a sheet that waits stops the night. */
void ui_shell_sheet(Shell *shell, int id);
/* Lets the open sheet take in what is new. */
void ui_shell_sheet_fill(Shell *shell, double now_s);
/* Gives the open sheet an intent of its own. */
void ui_shell_sheet_apply(Shell *shell, const Intent *intent, double now_s);
/* Opens the debrief of a recorded night over what is there. */
void ui_shell_debrief_open(Shell *shell, const char *path);
/* Closes and forgets all sheets: the night is over. */
void ui_shell_sheets_free(Shell *shell);

/* Acts on alarms and the sound check; false: not one of them. */
bool ui_shell_alarms_apply(Shell *shell, const Intent *intent);
/* Finds out which sound is due. */
void ui_shell_alarms_frame(Shell *shell, double now_s);

/* Fills the list of cases and shows it. */
MODEL_CHECKED ErrorCode ui_shell_cases_show(Shell *shell, Error *error);
/* Intents of the list and of the card of free practice; false: not one of them. */
bool ui_shell_cases_apply(Shell *shell, const Intent *intent);

/* Open a night from the list and show its handover, or say why it cannot be opened. */
void ui_shell_open_case(Shell *shell, const char *path);
void ui_shell_open_recorded(Shell *shell, const char *path);
/* Opens a night with the person and time rate of the card of free practice. */
void ui_shell_open_practice(Shell *shell);

#endif
