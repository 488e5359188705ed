/* The surveys of an open history, which of them is meant, and how one is taken out. */
#ifndef FOCI_KEEP_HISTORY_ENTRIES_H
#define FOCI_KEEP_HISTORY_ENTRIES_H

#include "fieldfoci/history.h"
#include "keep/survey_folder.h"

/* As foci_history_list, of a database that is open. */
bool foci_history_entries_read(foci_history_entries *out, foci_database *database, const char *history,
                               const char *field_name, foci_error *err) FOCI_MUST_CHECK;

/* What messages and results call an entry: "HISTORY [LETTERS]", without passwords; owned by the caller. */
char *foci_history_entry_name(const char *history, const char *sha256, foci_error *err) FOCI_MUST_CHECK;

/* The one that `word` names: its season (without regard to case), or eight letters and more of the sha256 that the list
 * prints. FOCI_BAD_INPUT with what there is where it names none or several. */
bool foci_history_choose(size_t *out, const foci_history_entries *entries, const char *word, const char *history,
                         foci_error *err) FOCI_MUST_CHECK;

/* Takes a survey out with all that belongs to it, its field too where no other survey is of it. */
bool foci_history_take_out(foci_database *database, const char *sha256, foci_error *err) FOCI_MUST_CHECK;

/* An entry is whole: its field is there, and of stops, zones and digs as many rows as were put in. Entries of earlier
 * versions do not tell how many that were; `survey` (NULL: not known) then does. */
bool foci_history_is_whole(bool *whole, foci_database *database, const char *sha256, const foci_survey_folder *survey,
                           foci_error *err) FOCI_MUST_CHECK;

/* One change as one transaction; on a server, where another's change may be in the way, up to eight times. `once` is
 * handed a database open for writing and leaves it open. */
typedef bool (*foci_history_change)(foci_database *database, void *context, foci_error *err);
bool foci_history_change_with(const char *history, foci_history_change once, void *context, const foci_execution *how,
                              foci_error *err) FOCI_MUST_CHECK;

#endif
