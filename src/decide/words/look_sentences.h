/* What `look` says of a file: its guesses and its notes, as the formats that they are printed with, so that the
 * compiler holds each against what is printed into it. */
#ifndef FOCI_DECIDE_LOOK_SENTENCES_H
#define FOCI_DECIDE_LOOK_SENTENCES_H

/* ---- guesses: columns ---- */
#define FOCI_LOOK_HITS                                                                                                 \
    "\"%.60s\" is a usual name for infected units, its cells are whole numbers, %s, and none is above "                \
    "\"%.60s\"%s"
#define FOCI_LOOK_USUAL_PAIR "; %zu of the built-in profiles name%s this pair"
#define FOCI_LOOK_CHECKED "\"%.60s\" is a usual name for the units looked at, and its cells are whole numbers, %s"
#define FOCI_LOOK_HITS_ALONE "\"%.60s\" is a usual name for infected units, and its cells are whole numbers, %s%s"
#define FOCI_LOOK_USUAL_NAME "; built-in profiles name it"
#define FOCI_LOOK_VALUE "\"%.60s\" is a usual name for %s, and its cells are numbers, %s"
#define FOCI_LOOK_PERCENT "a percent"
#define FOCI_LOOK_SCORE "a score"
#define FOCI_LOOK_ID "\"%.60s\" is a usual name for a stop's name, every row has one, and no two are alike"
#define FOCI_LOOK_WHEN "\"%.60s\" %s, and its cells are dates%s"
#define FOCI_LOOK_WHEN_NAMED "is a usual name for the day"
#define FOCI_LOOK_WHEN_ONLY "is the only column of dates"
#define FOCI_LOOK_WHEN_RANGE ", from %s to %s"
#define FOCI_LOOK_WHEN_ALL ", all %s"
#define FOCI_LOOK_RATER "\"%.60s\" is a usual name for who rated, and its words come back from stop to stop"
#define FOCI_LOOK_RATED_READ "every cell says %s; a column of this name is read without an option"
#define FOCI_LOOK_RATED "every cell of \"%.60s\" says %s"
#define FOCI_LOOK_PLACES "\"%.60s\" runs from %.10g to %.10g and \"%.60s\" from %.10g to %.10g%s"
#define FOCI_LOOK_AS_DEGREES ", as degrees of longitude and latitude do"
#define FOCI_LOOK_PLACES_READ "coordinate columns of these names are read without an option"
#define FOCI_LOOK_FROM_TO "from %.10g to %.10g"
#define FOCI_LOOK_ALL "all %.10g"

/* ---- notes: what nobody can guess ---- */
#define FOCI_LOOK_TIED_COUNTS                                                                                          \
    "\"%.60s\" of \"%.60s\" and \"%.60s\" of \"%.60s\" could both be infected units of units looked at; name "         \
    "yours with {hits} and {checked}"
#define FOCI_LOOK_MORE_HITS                                                                                            \
    "\"%.60s\" of \"%.60s\" could be infected units of units looked at, but row %zu has more infected than "           \
    "looked at; correct it, or name yours with {hits} and {checked}"
#define FOCI_LOOK_NO_CHECKED "no column tells how many units were looked at; give the number with {checked} NUMBER"
#define FOCI_LOOK_TIED "\"%.60s\" and \"%.60s\" would both do for {%s}; name the one you mean"
#define FOCI_LOOK_ALSO_VALUE "\"%.60s\" could be mapped as a score with {value}, in place of the counts"
#define FOCI_LOOK_TWO_RATINGS                                                                                          \
    "\"%.60s\" tells two ways of rating, which never go into one map; keep each kind in a file of its own"
#define FOCI_LOOK_NO_READING                                                                                           \
    "no column's name tells what was found at the stops; name it with {value} COLUMN for a score, or with "            \
    "{hits} COLUMN and {checked} COLUMN_OR_NUMBER for counts"
#define FOCI_LOOK_TIED_PLACES "\"%.60s\" and \"%.60s\" would both do for {xy}; name the pair you mean"
#define FOCI_LOOK_NO_PLACES                                                                                            \
    "the file holds no points and no coordinate columns of a usual name (lon,lat, x,y ...); say which they "           \
    "are with {xy} XCOLUMN,YCOLUMN"

/* ---- notes: what was left out, and what is odd ---- */
#define FOCI_LOOK_ROWS_CUT "of %zu rows the first %zu were looked at"
#define FOCI_LOOK_COLUMNS_CUT "of %zu columns the first %zu were looked at"
#define FOCI_LOOK_MIXED "points, lines and areas lie in one layer; save each kind alone"
#define FOCI_LOOK_ODD_CELLS "\"%.60s\" holds %ss, but %zu of its %zu cells %s none (row %ld: \"%.30s\")"
#define FOCI_LOOK_NO_PLACE "%zu of the %zu rows that were read %s no place"
#define FOCI_LOOK_NO_POINTS_ROW "no points can be told: row %ld %s"
#define FOCI_LOOK_NO_POINTS "no points can be told: %s"
#define FOCI_LOOK_BEYOND                                                                                               \
    "row %ld: it reaches beyond 90 degrees of latitude; its longitudes and latitudes may be exchanged"
#define FOCI_LOOK_OUTLINE_CUT "outline and area are those of the first %zu rows"
#define FOCI_LOOK_NO_SYSTEM                                                                                            \
    "the file does not say its coordinate reference system; give it with {crs} CODE (EPSG:4326 for longitude "         \
    "and latitude)"
#define FOCI_LOOK_NO_OUTLINE "no outline can be told: %s"

#endif
