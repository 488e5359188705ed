#include "fieldfoci/task.h"
#include "fieldfoci/words.h"

#include <math.h>
#include <stdio.h>

/* ISO 11783-11: DDI 1, setpoint volume per area, steps of 0.01 mm3/m2; DDI 6, setpoint mass per area, of 1 mg/m2. */
static const foci_task_quantity volume = {"0001", 10000, "l/ha", "0.0001"};
static const foci_task_quantity mass = {"0006", 100, "kg/ha", "0.01"};

/* Exact by definition: the US gallon is 231 cubic inches, the acre 43,560 square feet and the pound 0.45359237 kg, with
 * the international inch of 2.54 cm (1959). */
#define GALLON 3.785411784
#define ACRE 0.40468564224
#define POUND 0.45359237

const foci_task_unit foci_task_unit_table[] = {
    {"L/ha", "L", "ha", 1, 1, &volume},
    {"gal/ac", "gal", "ac", GALLON, ACRE, &volume},
    {"kg/ha", "kg", "ha", 1, 1, &mass},
    {"lb/ac", "lb", "ac", POUND, ACRE, &mass},
    {0},
};

/* The file's numbers are signed and have 32 bits. */
#define STEPS_MOST 2147483647.0

double foci_task_unit_metric(const foci_task_unit *unit) {
    return unit->amount_metric / unit->hectares;
}

bool foci_task_unit_steps(long *steps, const foci_task_unit *unit, double rate, const char *option, foci_error *err) {
    double per_rate = foci_task_unit_metric(unit) * unit->quantity->steps;
    if (!isfinite(rate) || rate < 0)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "is no rate; give a number of %s, 0 or above", unit->name);
    if (rate * per_rate > STEPS_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0,
                         "%g %s is more than task data can hold (%.0f); check the unit", rate, unit->name,
                         floor(STEPS_MOST / per_rate));
    long whole = lround(rate * per_rate);
    if (rate > 0 && whole == 0)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0,
                         "%g %s is less than task data can hold (its steps are %.3g); check the unit", rate, unit->name,
                         1 / per_rate);
    *steps = whole;
    return true;
}

void foci_task_zone_text(char text[FOCI_TASK_ZONE_TEXT], const foci_task_zone *zone, const foci_task_unit *unit,
                         foci_measures first) {
    char area[FOCI_WORDS_SIZE];
    const double amount = zone->rate * zone->area_ha / unit->hectares;
    const int decimals = amount > 0 && amount < 100 ? 1 : 0;
    foci_words_area(area, zone->area_ha, first);
    if (zone->lonlat.count == 0)
        snprintf(text, FOCI_TASK_ZONE_TEXT, "none in this survey");
    else
        snprintf(text, FOCI_TASK_ZONE_TEXT, "%.9g %s on %s: about %.*f %s", zone->rate, unit->name, area, decimals,
                 amount, unit->amount);
}
