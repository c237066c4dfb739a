/* A small case that uses every part of the language, for tests of cases and sessions. */
#ifndef TESTS_SUPPORT_CASE_TEXTS_H
#define TESTS_SUPPORT_CASE_TEXTS_H

#define CASE_TEXT_GOOD                                                                                       \
    "evenkeel_case: 1\n"                                                                                     \
    "id: test-night\n"                                                                                       \
    "title: A test night\n"                                                                                  \
    "theme: testing\n"                                                                                       \
    "level: 2\n"                                                                                             \
    "length: 30min\n"                                                                                        \
    "seed: 42\n"                                                                                             \
    "summary: >\n"                                                                                           \
    "  Two lines\n"                                                                                          \
    "  become one.\n"                                                                                        \
    "handover:\n"                                                                                            \
    "  who: Nobody.\n"                                                                                       \
    "  done: Nothing.\n"                                                                                     \
    "  attached: Everything.\n"                                                                              \
    "  objectives: [MAP., Urine.]\n"                                                                         \
    "  cautions: Mind the right ventricle.\n"                                                                \
    "patient:\n"                                                                                             \
    "  base: supported_axial\n"                                                                              \
    "  settle: 20s\n"                                                                                        \
    "  set:\n"                                                                                               \
    "    weight_kg: 82\n"                                                                                    \
    "    ventilated: 1\n"                                                                                    \
    "running:\n"                                                                                             \
    "  - milrinone 0.25mcg/kg/min\n"                                                                         \
    "  - speed 8600rpm\n"                                                                                    \
    "orders:\n"                                                                                              \
    "  - speed: {low: 7600rpm, high: 10400rpm, step: 200rpm}\n"                                              \
    "  - crystalloid\n"                                                                                      \
    "  - milrinone\n"                                                                                        \
    "  - wedge\n"                                                                                            \
    "  - reopen_chest: {delay: 15min}\n"                                                                     \
    "targets:\n"                                                                                             \
    "  art_mean_mmhg: [65, 85]\n"                                                                            \
    "timeline:\n"                                                                                            \
    "  - id: weakens\n"                                                                                      \
    "    at: 5min\n"                                                                                         \
    "    do:\n"                                                                                              \
    "      - ramp: {parameter: rv_ees_mmhg_ml, to: 0.12, over: 10min}\n"                                     \
    "      - set: {clot_ra_ml: 10, bleed_drain_ml_h: 30}\n"                                                  \
    "      - message: {from: nurse, text: Something is different.}\n"                                        \
    "  - id: worse\n"                                                                                        \
    "    when: \"cvp_mmhg > 15 and pump_flow_shown_l_min < 3\"\n"                                            \
    "    for: 2min\n"                                                                                        \
    "    do:\n"                                                                                              \
    "      - message: {from: nurse, text: It is getting worse.}\n"                                           \
    "  - id: later\n"                                                                                        \
    "    after: weakens\n"                                                                                   \
    "    plus: 3min\n"                                                                                       \
    "    do:\n"                                                                                              \
    "      - message: {from: surgeon, text: Call me if you need me.}\n"                                      \
    "objectives:\n"                                                                                          \
    "  - id: pressure\n"                                                                                     \
    "    text: MAP above 60 for five minutes.\n"                                                             \
    "    when: shown_art_mean_mmhg > 60\n"                                                                   \
    "    for: 5min\n"                                                                                        \
    "teaching:\n"                                                                                            \
    "  - text: Look at the septum.\n"                                                                        \
    "    source: common practice\n"                                                                          \
    "endings:\n"                                                                                             \
    "  - id: lost\n"                                                                                         \
    "    when: art_mean_mmhg < 35\n"                                                                         \
    "    for: 2min\n"                                                                                        \
    "    outcome: death\n"                                                                                   \
    "    text: The circulation stopped.\n"                                                                   \
    "  - id: morning\n"                                                                                      \
    "    at_length: yes\n"                                                                                   \
    "    outcome: good\n"                                                                                    \
    "    text: The night is over.\n"

#endif
