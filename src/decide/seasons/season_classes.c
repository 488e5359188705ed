/* How often a place was hot, in words and by rule. */
#include "fieldfoci/persistence.h"

static const char *const class_names[] = {
    [FOCI_CLASS_NEVER] = "never", [FOCI_CLASS_GONE] = "gone",     [FOCI_CLASS_NEW] = "new",
    [FOCI_CLASS_OFTEN] = "often", [FOCI_CLASS_ALWAYS] = "always", [FOCI_CLASS_UNSURE] = "unsure",
};
_Static_assert(sizeof class_names / sizeof *class_names == FOCI_CLASS_END, "every class has a name");

const char *foci_class_name(foci_class code) {
    return code < FOCI_CLASS_END ? class_names[code] : NULL;
}

foci_class foci_class_of(const bool *hot, size_t seasons) {
    size_t times = 0;
    for (size_t s = 0; s < seasons; s++)
        times += hot[s];
    bool last = hot[seasons - 1];
    if (times == 0)
        return FOCI_CLASS_NEVER;
    if (times == seasons)
        return FOCI_CLASS_ALWAYS;
    if (times >= 2 && (2 * times >= seasons || last))
        return FOCI_CLASS_OFTEN;
    return last ? FOCI_CLASS_NEW : FOCI_CLASS_GONE;
}
