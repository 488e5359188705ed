#include "fieldfoci/execution.h"

#include <math.h>

foci_execution foci_execution_part(const foci_execution *how, double from, double to) {
    if (!how)
        return (foci_execution){0};
    foci_execution part = *how;
    const double share = how->progress.share > 0 ? how->progress.share : 1;
    part.progress.from += share * from;
    part.progress.share = share * (to - from);
    return part;
}

bool foci_execution_tell(const foci_execution *how, double done, foci_error *err) {
    if (!how || !how->progress.tell)
        return true;
    const double share = how->progress.share > 0 ? how->progress.share : 1;
    const double whole = how->progress.from + share * fmin(fmax(done, 0), 1);
    return how->progress.tell(how->progress.context, whole) || foci_fail(err, FOCI_STOPPED, NULL, 0, "stopped");
}

void foci_execution_enter(const foci_execution *how, const char *phase) {
    if (how && how->progress.enter)
        how->progress.enter(how->progress.context, phase);
}

void foci_execution_say(const foci_execution *how, const char *text) {
    if (how && how->teller.say)
        how->teller.say(how->teller.context, text);
}
