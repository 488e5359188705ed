/* Folders of the program's own files, whole or not at all. */
#ifndef FOCI_KEEP_FOLDER_H
#define FOCI_KEEP_FOLDER_H

#include "fieldfoci/error.h"

typedef struct {
    const char *mark; /* the summary; a folder that holds one of this program is replaced where that is allowed */
    const char *const *files; /* all files that may be ours, the summary too; ended by NULL */
    bool (*write_files)(const void *content, const char *folder, foci_error *err); /* all but the summary */
    char *(*summarise)(const void *content, foci_error *err); /* the summary's text; NULL: write_files writes it too */
    bool (*is_ours)(const char *mark); /* of a summary's file; NULL: a JSON file that names this program */
    bool (*may_replace)(const char *folder, foci_error *err); /* what else must hold of an old folder; NULL: nothing */
} foci_folder_kind;

/* Without `overwrite` an existing folder is refused; with it only one of this kind is replaced, and files of others in
 * it are kept. */
bool foci_folder_write(const foci_folder_kind *kind, const void *content, const char *folder, bool overwrite,
                       foci_error *err) FOCI_MUST_CHECK;

#endif
