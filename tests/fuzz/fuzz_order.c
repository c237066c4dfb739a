/* Any bytes as an order: what is read is written and read back as the same order. */
#include "sim/orders.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MAX = 200 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char text[TEXT_MAX + 1], back[ORDER_TEXT_MAX];
    Order order, again;
    Error error;
    if (size > TEXT_MAX) size = TEXT_MAX;
    memcpy(text, data, size);
    text[size] = '\0';
    if (sim_orders_parse(text, NULL, &order, &error) != ERROR_OK) return 0;
    sim_orders_format(&order, back, sizeof back);
    if (sim_orders_parse(back, NULL, &again, &error) != ERROR_OK) abort();
    if (again.id != order.id || again.act != order.act ||
        fabs(again.value - order.value) > 1e-6 * fabs(order.value))
        abort();
    return 0;
}
