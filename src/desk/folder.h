/* The desk's folder: shelves of plain files that the other commands read. What a client names is compared with what
 * lies there and never made into a path; nothing outside the folder is reached, through a link neither. */
#ifndef FOCI_DESK_FOLDER_H
#define FOCI_DESK_FOLDER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fieldfoci/error.h"

typedef enum {
    DESK_FIELDS,  /* boundaries, a file each */
    DESK_SURVEYS, /* survey folders */
    DESK_SEASONS, /* folders of comparisons */
    DESK_PLANS,   /* a file each */
    DESK_INBOX,   /* a folder for each visit: originals as they came, its job, its drafts */
    DESK_SHELVES
} desk_shelf;

typedef struct {
    char *path;                /* absolute */
    int shelves[DESK_SHELVES]; /* open, -1 before */
} desk_folder;

/* A name in the folder, of what is made here: small letters, digits and hyphens, with the original's ending. */
#define DESK_NAME_SIZE 96

const char *desk_shelf_name(desk_shelf shelf);

/* Opens `path` (NULL: fieldfoci in the user's home), made with its shelves where it is not there, for its user alone.
 */
bool desk_folder_open(desk_folder *folder, const char *path, foci_error *err) FOCI_MUST_CHECK;
void desk_folder_close(desk_folder *folder);

/* Whether the shelf has an entry of exactly this name: a folder (`is_folder`) or an ordinary file. */
bool desk_folder_has(const desk_folder *folder, desk_shelf shelf, const char *name, bool is_folder);

/* Opens for reading a file of the shelf (`entry` NULL) or of a folder on it; -1 where there is none. */
int desk_folder_read(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name);

/* The absolute path for a child process; owned by the caller. */
char *desk_folder_path(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name,
                       foci_error *err) FOCI_MUST_CHECK;

/* Makes a folder on the shelf whose name comes from `wish`, another than all that are there. */
bool desk_folder_make(const desk_folder *folder, desk_shelf shelf, const char *wish, char name[DESK_NAME_SIZE],
                      foci_error *err) FOCI_MUST_CHECK;

/* Begins a new file under a temporary name in a folder of the shelf; the open file, -1 with `err`. */
int desk_folder_begin(const desk_folder *folder, desk_shelf shelf, const char *entry, char temporary[DESK_NAME_SIZE],
                      foci_error *err) FOCI_MUST_CHECK;

/* Puts it in its place: makes it durable, closes `file`, renames. With `replace` what has the name goes, else the new
 * one gets another name; `name`: wish in, name out. On failure nothing of it is left. */
bool desk_folder_keep(const desk_folder *folder, desk_shelf shelf, const char *entry, int file, const char *temporary,
                      bool replace, char name[DESK_NAME_SIZE], foci_error *err) FOCI_MUST_CHECK;
void desk_folder_drop(const desk_folder *folder, desk_shelf shelf, const char *entry, int file, const char *temporary);

/* Writes the array of the shelf's entries, or of a folder's on it, as JSON: name, bytes, changed (seconds since 1970).
 */
void desk_folder_list(const desk_folder *folder, desk_shelf shelf, const char *entry, FILE *out);

/* A plain name out of any text: what stands in a wish or an upload's own name. */
void desk_plain_name(char name[DESK_NAME_SIZE], const char *wish);

/* When it was changed, in seconds since 1970; -1 where there is none. */
double desk_folder_changed(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name);

/* Which state a file is in: changes with every change of it. "" where there is none. */
void desk_folder_state(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name,
                       char state[64]);

/* ---- for the shelves' own files ---- */

/* What the names of files begin with that are being received. */
#define DESK_COMING ".coming-"

/* Opens a folder of the shelf, or the shelf again (`entry` NULL); -1 where there is none. */
int desk_open_place(const desk_folder *folder, desk_shelf shelf, const char *entry);

#endif
