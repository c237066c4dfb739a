/* Inside the shell: what shell.c (the night, cards) and shell_sheets.c (sheets) call of each other. */
#ifndef UI_SHELL_PARTS_H
#define UI_SHELL_PARTS_H

#include "ui/shell.h"

/* Opens sheet `id`, or closes the one that is open with SHEET_NONE; a sheet that waits stops the night. */
void ui_shell_sheet(Shell *shell, int id);
/* Lets the open sheet take in what is new. */
void ui_shell_sheet_fill(Shell *shell, double now_s);
/* Gives the open sheet an intent of its own. */
void ui_shell_sheet_apply(Shell *shell, const Intent *intent, double now_s);
/* Closes and forgets all sheets: the night is over. */
void ui_shell_sheets_free(Shell *shell);

#endif
