/* Alarms between the night and the window: acts on them, sounds that are due. */
#include "ui/shell_parts.h"

#define PERCENT 100.0
#define NOTE_S  6.0

bool ui_shell_alarms_apply(Shell *shell, const Intent *intent) {
    if (intent->kind == INTENT_SOUND_CHECK) {
        shell->asks.sound = (SoundId)intent->number;
        return true;
    }
    if (shell->feed == NULL) return false;
    if (intent->kind == INTENT_ALARM_PAUSE)
        ui_feed_alarm_pause(shell->feed);
    else if (intent->kind == INTENT_ALARM_SEEN)
        ui_feed_alarm_seen(shell->feed, intent->number);
    else
        return false;
    return true;
}

void ui_shell_no_sound(Shell *shell) {
    shell->no_sound = true;
}

void ui_shell_alarms_frame(Shell *shell, double now_s) {
    SoundInputs inputs = {.halted = true, .time_rate = 1.0};
    if (shell->feed != NULL) inputs = ui_feed_sounds(shell->feed);
    SoundAsk ask = ui_sound_step(&shell->sounds, &inputs, now_s);
    if (ask.play != SOUND_NONE) shell->asks.sound = ask.play;
    shell->asks.sound_stop = shell->asks.sound_stop || ask.stop;
    shell->asks.volume = ui_settings_value(&shell->settings.now, SETTING_volume_percent) / PERCENT;
    if (shell->feed == NULL || !shell->no_sound) return;
    ui_feed_no_sound(shell->feed);
    if (shell->no_sound_told || ui_feed_paused(shell->feed)) return;
    /* said once; the bell stays crossed out */
    shell->no_sound_told = true;
    ui_screen_note(&shell->screen, "No sound device: alarms are shown, not heard.", NOTE_S);
}
