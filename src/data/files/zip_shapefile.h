/* A shapefile packed into a .zip archive, as it comes by mail. */
#ifndef FOCI_DATA_ZIP_SHAPEFILE_H
#define FOCI_DATA_ZIP_SHAPEFILE_H

#include "fieldfoci/error.h"

/* The name by which the library opens the folder in the archive that holds the shapefiles; NULL where the file is no
 * archive or holds none. Nothing is unpacked to the disk, and the library lists no member whose name leads out of the
 * archive. Owned by the caller. FOCI_NO_FILE: several folders hold some; FOCI_BAD_INPUT: a reference system in it leads
 * elsewhere. The file has passed foci_vector_guard. Between foci_gdal_begin and foci_gdal_end. */
bool foci_zip_shapefile_find(char **out, const char *file, foci_error *err) FOCI_MUST_CHECK;

#endif
