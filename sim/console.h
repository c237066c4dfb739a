/* Standard output and standard error: every message is one printable line, and nothing that was said is lost
   in silence. */
#ifndef SIM_CONSOLE_H
#define SIM_CONSOLE_H

#include "model/error.h"

/* Call first: makes sure that the three standard streams exist, so that no file the program opens takes the
   place of a closed one and gets its text. */
void sim_console_open(void);

/* Call last: ERROR_FILE_WRITE when not all of standard output could be written. */
MODEL_CHECKED ErrorCode sim_console_close(Error *error);

/* Prints "evenkeel: ..." as one line on stderr. Bytes that are no printable UTF-8 text become '?'. */
void sim_console_say_error(const Error *error);

/* The same for a message with a printf text. */
void sim_console_say(const char *format, ...) MODEL_PRINTF(1, 2);

#endif
