/* One person's parameters in a body of another size. */
#ifndef MODEL_BODYSIZE_H
#define MODEL_BODYSIZE_H

#include "model/parameters.h"

#include <stdbool.h>

/* Turns `parameters` into the same condition in a body of `weight_kg` (30-200) and `height_cm` (120-220).
   With s the ratio of body surfaces (Mosteller): volumes, flows, areas and compliances grow by s,
   resistances, elastances, inertances and stiffness exponents by 1/s, pressures and times stay: pressures are
   alike in people of all sizes while flows and volumes are indexed to surface (normal values, Lang 2015).
   Pumps keep their size; their speed is set so that the same head is made at s times the flow (2.6 L/min/m2).
   Values that leave their range in the table stop at its end. */
void model_bodysize_scale(Parameters *parameters, double weight_kg, double height_cm, bool female);

#endif
