/* The sound device. Plays one burst at a time; without a device everything else works. */
#ifndef UI_AUDIO_H
#define UI_AUDIO_H

#include "model/error.h"
#include "ui/sound.h"

typedef struct Audio Audio;

/* Opens the default device. NULL and `error` (what is missing) if there is none: play and stop then do
   nothing. The caller closes it. */
Audio *ui_audio_open(Error *error);
/* Accepts NULL. */
void ui_audio_close(Audio *audio);

/* Starts a burst in place of what plays; volume 0 to 1. Accepts NULL. */
void ui_audio_play(Audio *audio, SoundId id, double volume);
/* Ends what plays. Accepts NULL. */
void ui_audio_stop(Audio *audio);

#endif
