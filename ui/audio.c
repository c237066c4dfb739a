/* The sound device, through SDL's queue: the only part that knows SDL's audio. */
#include "ui/audio.h"

#include <SDL2/SDL.h>
#include <stdlib.h>

enum { BUFFER_FRAMES = 1024 };

struct Audio {
    SDL_AudioDeviceID device;
    float samples[SOUND_SAMPLES_MAX];
};

static Audio *fail(Audio *audio, Error *error) {
    model_error_set(error, ERROR_DISPLAY, "no sound device: alarms are silent");
    if (SDL_GetError()[0] != '\0') model_error_allow(error, "%.100s", SDL_GetError());
    free(audio);
    return NULL;
}

Audio *ui_audio_open(Error *error) {
    Audio *audio = calloc(1, sizeof *audio);
    if (audio == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for sounds");
        return NULL;
    }
    if (SDL_InitSubSystem(SDL_INIT_AUDIO) != 0) return fail(audio, error);
    SDL_AudioSpec spec = {
        .freq = SOUND_RATE_HZ, .format = AUDIO_F32SYS, .channels = 1, .samples = BUFFER_FRAMES};
    audio->device = SDL_OpenAudioDevice(NULL, 0, &spec, NULL, 0);
    if (audio->device == 0) {
        audio = fail(audio, error);
        SDL_QuitSubSystem(SDL_INIT_AUDIO);
        return audio;
    }
    SDL_PauseAudioDevice(audio->device, 0);
    return audio;
}

void ui_audio_close(Audio *audio) {
    if (audio == NULL) return;
    SDL_CloseAudioDevice(audio->device);
    SDL_QuitSubSystem(SDL_INIT_AUDIO);
    free(audio);
}

void ui_audio_play(Audio *audio, SoundId id, double volume) {
    if (audio == NULL || id == SOUND_NONE) return;
    size_t count = ui_sound_write(id, volume, audio->samples, SOUND_SAMPLES_MAX);
    SDL_ClearQueuedAudio(audio->device);
    /* a burst that cannot be queued is a burst that is not heard: nothing else depends on it */
    (void)SDL_QueueAudio(audio->device, audio->samples, (Uint32)(count * sizeof audio->samples[0]));
}

void ui_audio_stop(Audio *audio) {
    if (audio != NULL) SDL_ClearQueuedAudio(audio->device);
}
