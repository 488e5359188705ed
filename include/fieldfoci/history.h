/* What is remembered of the fields, season after season: a GeoPackage, or a database that an office shares. */
#ifndef FIELDFOCI_HISTORY_H
#define FIELDFOCI_HISTORY_H

#include "fieldfoci/execution.h"

/* What the survey's stops do not tell; NULL where there is nothing to note. */
typedef struct {
    const char *crop;
    const char *laboratory;
    bool replace; /* a survey of the same field, season and disease that was mapped otherwise gives way */
} foci_history_options;

/* Nothing to note, and nothing gives way. */
FOCI_API foci_history_options foci_history_options_make(void);

typedef enum {
    FOCI_HISTORY_ADDED,
    FOCI_HISTORY_WAS_THERE,
    FOCI_HISTORY_REPLACED,
    FOCI_HISTORY_MENDED /* it was there in part, as earlier versions could leave it, and is whole now */
} foci_history_outcome;

/* One survey. Texts are owned and never NULL, "" where unknown. */
typedef struct {
    char *sha256; /* of its content: the inputs' sha256, the season and the job without the names of files */
    char *field, *season, *first_date, *last_date;
    char *disease, *kind, *unit, *rated; /* kind: "count" or "value" */
    double threshold;                    /* in `unit`; NaN where none */
    double area_ha;
    double stops; /* how many were used */
    char *crop, *laboratory;
    char *job, *made; /* job: a JSON object */
} foci_history_entry;

typedef struct {
    size_t count;
    foci_history_entry *items; /* by field, then date, then season */
} foci_history_entries;

/* Adds a survey folder to a history: a GeoPackage (made where it is not there), or a connection string of a database
 * that OGR can change and that has transactions ("PG:dbname=farm"). A survey that is there already stays as it is, but
 * for the notes that are given now. Another survey of the same field, season and disease is replaced where that is
 * asked for (its notes stay where no new ones are given), else FOCI_BAD_INPUT. All or nothing, also where the process
 * is killed or the disk is full; several recorders at a time wait for each other. How's teller, here and below, hears
 * that another program is waited for, which can be stopped; after a minute FOCI_NO_FILE. FOCI_NO_FILE, FOCI_BAD_INPUT:
 * not a survey, not a history, not writable. */
FOCI_API bool foci_history_record(const char *survey_folder, const char *history, const foci_history_options *options,
                                  foci_history_outcome *outcome, const foci_execution *how,
                                  foci_error *err) FOCI_MUST_CHECK;

/* Takes one survey out: the one of this season (of this field, or of any: `field_name` NULL), or whose sha256 begins
 * with these eight letters or more. FOCI_BAD_INPUT with what there is where none or several are meant. `*removed` names
 * it as the errors do; owned by the caller. */
FOCI_API bool foci_history_remove(char **removed, const char *history, const char *season, const char *field_name,
                                  const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* The surveys of all fields, or of the one of this name (without regard to case; FOCI_BAD_INPUT where it has none). */
FOCI_API bool foci_history_list(foci_history_entries *out, const char *history, const char *field_name,
                                const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_history_entries_free(foci_history_entries *entries);

/* What `history --json` prints; owned by the caller. */
FOCI_API char *foci_history_summary(const foci_history_entries *entries, foci_error *err) FOCI_MUST_CHECK;

#endif
