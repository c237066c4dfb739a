/* The program without a display: screens in words, for people and for tests. */
#ifndef UI_APP_DESCRIBE_H
#define UI_APP_DESCRIBE_H

#include "model/error.h"
#include "sim/cli.h"

#include <stdio.h>

/* Opens what `request` asks for on a canvas, goes to its moment, presses its keys, plays its script, and writes
   what is then on the screen to `out`. Nothing of the user's is read or written. */
ErrorCode ui_app_describe(const DescribeRequest *request, FILE *out, Error *error);

#endif
