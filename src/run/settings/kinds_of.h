/* How the kinds that are texts or have several parts are read and written: what the catalog of kinds is made of. */
#ifndef FOCI_RUN_KINDS_OF_H
#define FOCI_RUN_KINDS_OF_H

#include "run/settings/kinds.h"

_Static_assert(sizeof(foci_stop_variation) == sizeof(int), "an order is an int");

#define FOCI_KIND_PARSES(name)                                                                                         \
    bool foci_kind_parse_##name(void *place, const foci_setting *setting, const char *text, foci_error *err)           \
        FOCI_MUST_CHECK
#define FOCI_KIND_PRINTS(name)                                                                                         \
    bool foci_kind_print_##name(char **out, const void *place, const foci_setting *setting, foci_error *err)           \
        FOCI_MUST_CHECK

/* kinds_text.c */
FOCI_KIND_PARSES(text);
FOCI_KIND_PARSES(date);
FOCI_KIND_PARSES(lines);
FOCI_KIND_PRINTS(text);
void foci_kind_free_text(void *place);

/* kinds_parts.c */
FOCI_KIND_PARSES(place);
FOCI_KIND_PARSES(limits);
FOCI_KIND_PARSES(order);
FOCI_KIND_PARSES(scale);
FOCI_KIND_PARSES(model);
FOCI_KIND_PARSES(row);
FOCI_KIND_PARSES(rows);
FOCI_KIND_PRINTS(place);
FOCI_KIND_PRINTS(limits);
FOCI_KIND_PRINTS(order);
FOCI_KIND_PRINTS(scale);
FOCI_KIND_PRINTS(model);
FOCI_KIND_PRINTS(row);
FOCI_KIND_PRINTS(rows);

#endif
