/* What columns are usually called. */
#ifndef FOCI_RUN_LOOK_WORDS_H
#define FOCI_RUN_LOOK_WORDS_H

#include <stdbool.h>

typedef enum {
    FOCI_ROLE_HITS,
    FOCI_ROLE_CHECKED,
    FOCI_ROLE_VALUE,
    FOCI_ROLE_ID,
    FOCI_ROLE_WHEN,
    FOCI_ROLE_RATER,
    FOCI_ROLE_EAST,
    FOCI_ROLE_NORTH
} foci_role;

/* How well a column's name says that it is this: 2 it says nothing else ("infected"), 1 with words that add nothing
 * ("n_infected"), 0 not at all. */
int foci_role_fit(foci_role role, const char *name);

/* Whether the name says that it is not this, as "planting date" does of the day of a stop. */
bool foci_role_is_against(foci_role role, const char *name);

/* Whether the name speaks of a share: percent, rate, proportion ... */
bool foci_role_is_share(const char *name);

#endif
