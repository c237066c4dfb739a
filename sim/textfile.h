/* Reads a whole text file, with a cap on its size. */
#ifndef SIM_TEXTFILE_H
#define SIM_TEXTFILE_H

#include "model/error.h"

#include <stddef.h>

/* Reads `path` into newly allocated, terminated memory that the caller frees; *length excludes the
   terminator. Refuses folders, files longer than `longest` bytes (ERROR_FILE_READ), and zero bytes within
   (ERROR_FORMAT). On failure *text is NULL and `error` names the file. */
MODEL_CHECKED ErrorCode sim_textfile_read(const char *path, size_t longest, char **text, size_t *length,
                                          Error *error);

#endif
