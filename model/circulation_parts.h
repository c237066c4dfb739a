/* Private to the circulation: the parts of the right-hand side, shared by rates, samples and Jacobian. */
#ifndef MODEL_CIRCULATION_PARTS_H
#define MODEL_CIRCULATION_PARTS_H

#include "model/circulation.h"

typedef struct CirculationParts {
    LungPressures lung;
    HeartPressures heart;
    VesselFlows vessels;
    ValveRates valve[VALVE_COUNT];
    PumpRates left, right;
} CirculationParts;

typedef struct CirculationSlopes {
    LungSlopes lung;
    HeartSlopes heart;
    VesselSlopes vessels;
    ValveSlopes valve[VALVE_COUNT];
    PumpSlopes left, right;
} CirculationSlopes;

/* Evaluates all parts at y[VARIABLE_COUNT]; `slopes` may be NULL. */
void circulation_parts(const CirculationConstants *constants, const CirculationDrive *drive, const double *y,
                       CirculationParts *parts, CirculationSlopes *slopes);

#endif
