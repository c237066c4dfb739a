/* The pump's screen standing still. A fault of the screen alone: rotor, controller and their alarms go on, as
   they would where the screen is a unit of its own. What is shown of the pump keeps its last values. */
#include "sim/instruments_parts.h"

static bool of_the_pump(int id) {
    switch ((DisplayId)id) {
    case DISPLAY_pump_rpm:
    case DISPLAY_pump_flow_l_min:
    case DISPLAY_pump_power_w:
    case DISPLAY_pump_pulsatility:
    case DISPLAY_right_pump_rpm:
    case DISPLAY_right_pump_flow_l_min:
        return true;
    default:
        return false;
    }
}

static void copy_pump(Display *to, const Display *from) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        if (!of_the_pump(id)) continue;
        to->value[id] = from->value[id];
        to->valid[id] = from->valid[id];
        to->taken_s[id] = from->taken_s[id];
    }
}

bool sim_instruments_freeze(InstrumentsState *state, bool freeze) {
    if (state->pump_frozen == freeze) return false;
    if (freeze)
        copy_pump(&state->console, &state->display);
    else
        copy_pump(&state->display, &state->console);
    state->pump_frozen = freeze;
    state->frozen_flow_l_min = state->console_flow_l_min > 0 ? state->console_flow_l_min : 0;
    return true;
}

Display *sim_instruments_shown_on(InstrumentsState *state, DisplayId id) {
    return state->pump_frozen && of_the_pump((int)id) ? &state->console : &state->display;
}

void sim_instruments_alarmed(const InstrumentsState *state, Display *display) {
    *display = state->display;
    if (state->pump_frozen) copy_pump(display, &state->console);
}

void sim_instruments_cover(const InstrumentsState *state, Trace *trace) {
    for (int i = 0; state->pump_frozen && i < trace->ticks; i++) {
        trace->value[TRACE_PUMP_FLOW][i] = state->frozen_flow_l_min;
    }
}
