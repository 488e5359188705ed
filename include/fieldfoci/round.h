/* One round of scouting: all of its nouns side by side, from the stops to the zones. What exports, map and report read.
 */
#ifndef FIELDFOCI_ROUND_H
#define FIELDFOCI_ROUND_H

#include "fieldfoci/checks.h"
#include "fieldfoci/cross_check.h"
#include "fieldfoci/dig_points.h"
#include "fieldfoci/economics.h"
#include "fieldfoci/field.h"
#include "fieldfoci/gaps.h"
#include "fieldfoci/hotspots.h"
#include "fieldfoci/paper.h"
#include "fieldfoci/pattern.h"
#include "fieldfoci/profile.h"
#include "fieldfoci/stops.h"
#include "fieldfoci/zones.h"

/* A list of sentences that it owns. */
typedef struct {
    size_t count;
    char **items;
} foci_sentences;

FOCI_API bool foci_sentences_add(foci_sentences *sentences, foci_error *err, const char *format, ...) FOCI_MUST_CHECK
    FOCI_PRINTF(3, 4);
/* One text, with `between` between two; owned by the caller. */
FOCI_API char *foci_sentences_join(const foci_sentences *sentences, const char *between,
                                   foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_sentences_free(foci_sentences *sentences);

/* An earlier season's survey that was read along; texts are owned. */
typedef struct {
    char *survey;    /* as it was named; NULL where none was */
    char *season;    /* "" if none */
    char sha256[65]; /* what it is, by content */
    char *words;     /* what became of it, one sentence; the numbers are in model.facts.earlier */
} foci_earlier;

typedef struct {
    /* what was found, and where */
    foci_stops stops;
    foci_field field; /* input.file NULL where no field was given */
    foci_findings findings;
    bool has_profile;
    foci_profile profile;
    foci_readings readings;
    foci_spread spread; /* of the readings */
    double spacing;     /* median nearest distance of the used stops, meters */
    char work_crs[256];
    /* what was estimated, and how sure it is */
    double threshold;   /* reading's unit; NaN where none */
    double row_heading; /* degrees clockwise from grid north; NaN where not stated */
    double area;        /* square meters: of the field, else of the ground that the stops stand for */
    foci_grid grid;
    foci_surface_options method;
    foci_surface_model model; /* borrows the readings' arrays */
    foci_earlier earlier;
    foci_surface surface; /* estimate NULL where too few stops make no map: the stops speak for themselves */
    bool *unspoken; /* per cell of the grid: in the field, but no stop speaks for it; NULL before it is known; owned */
    foci_gaps gaps; /* how far a stop speaks, and how much of the field none speaks for */
    bool has_pattern; /* the readings were judged; false for a single one */
    foci_pattern pattern;
    bool has_cross_check;
    foci_cross_check cross_check;
    /* what to do about it */
    foci_hotspots_options hotspots_options;
    foci_zones_options zones_options;
    bool has_zones;     /* false where there are too few stops or no pattern, or the disease does not live in the soil:
                           no hotspots and zones then */
    char *no_zones_why; /* the reason; owned */
    foci_hotspots hotspots;
    foci_zones zones;
    bool has_economics; /* cost and loss were given */
    foci_economics_options economics_options;
    foci_economics economics;
    foci_dig_points digs;
    /* labels */
    char *season;                 /* "" if none; owned */
    char *title;                  /* owned */
    char *rated;                  /* "above-ground", "dug" or ""; owned */
    char *first_date, *last_date; /* of the used stops, "" if undated; owned */
    char made[32];                /* ISO 8601, UTC */
    const foci_paper *paper;      /* a row of foci_paper_table; NULL: the standard one */
    foci_sentences cautions;
    foci_sentences warnings;
    foci_sentences even_so; /* reasons given for going on past a guard */
} foci_round;

FOCI_API void foci_round_free(foci_round *round);

#endif
