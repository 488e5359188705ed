/* What the files of the desk's folder share. */
#ifndef FOCI_DESK_FOLDER_PLACE_H
#define FOCI_DESK_FOLDER_PLACE_H

#include "desk/folder.h"

/* What the names of files begin with that are being received. */
#define DESK_COMING ".coming-"

/* Opens a folder of the shelf, or the shelf again; -1 where there is none. */
int desk_open_place(const desk_folder *folder, desk_shelf shelf, const char *entry);

#endif
