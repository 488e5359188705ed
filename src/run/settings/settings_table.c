/* Every setting: one row gives the option's parser, range, default, help, its part in the job and in the docs. */
#include "fieldfoci/settings.h"

#include <math.h>

#define AT(member) offsetof(foci_settings, member)

enum {
    READING = FOCI_FOR_MAP | FOCI_FOR_CHECK | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN,
    SURFACE = FOCI_FOR_MAP | FOCI_FOR_ESTIMATE | FOCI_FOR_PATTERN, /* judging a pattern fits the map's surface */
    MODEL = SURFACE | FOCI_FOR_VARIOGRAM,
    WRITES =
        FOCI_FOR_MAP | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN | FOCI_FOR_TASK | FOCI_FOR_SEASONS,
    DRAWS = FOCI_FOR_MAP | FOCI_FOR_PATTERN | FOCI_FOR_SEASONS,
    TALKS = READING | FOCI_FOR_PROFILES | FOCI_FOR_HISTORY | FOCI_FOR_SEASONS,
};

static const char *const surfaces[] = {"counts", "moments", "kriging", "indicator", "idw", NULL};
static const char *const fits[] = {"restricted-likelihood", "likelihood", "weighted-squares", NULL};
static const char *const trends[] = {"0", "1", "2", NULL};
static const char *const task_units[] = {"L/ha", "gal/ac", "kg/ha", "lb/ac", NULL};
static const char *const task_forms[] = {"taskdata", "shapefile", "geojson", NULL};
static const char *const task_layouts[] = {"grid", "polygons", NULL};
static const char *const task_standards[] = {"3", "4", NULL};
static const char *const papers[] = {"letter", "a4", NULL};
static const char *const variations[] = {"auto", "on", "off", NULL};

const foci_setting foci_setting_table[] = {
    /* what was found, and where */
    {"field", "FILE", FOCI_SETTING_FILE, AT(field), NULL, 0, 0, false, NULL, READING, true,
     "the field's boundary: polygon or multipolygon, holes allowed (map and check need it)"},
    {"field-name", "NAME", FOCI_SETTING_TEXT, AT(field_name), NULL, 0, 0, false, NULL,
     READING | FOCI_FOR_HISTORY | FOCI_FOR_SEASONS, true,
     "which field, where the file or the history holds several; else the only one"},
    {"field-column", "COLUMN", FOCI_SETTING_TEXT, AT(field_column), NULL, 0, 0, false, NULL, READING, true,
     "the column that --field-name is matched against; else 'name'"},
    {"field-layer", "NAME", FOCI_SETTING_TEXT, AT(field_layer), NULL, 0, 0, false, NULL, READING, true,
     "the layer of the boundary's file, where several hold polygons; else the only one"},
    {"layer", "NAME", FOCI_SETTING_TEXT, AT(layer), NULL, 0, 0, false, NULL, READING, true,
     "the layer of the stops' files, where several hold points; else the only one"},
    {"value", "COLUMN", FOCI_SETTING_TEXT, AT(value), NULL, 0, 0, false, NULL, READING, true,
     "the severity score at each stop"},
    {"hits", "COLUMN", FOCI_SETTING_TEXT, AT(hits), NULL, 0, 0, false, NULL, READING, true,
     "infected units at each stop (plants, 1-ft row sections, pods ...); goes with --checked"},
    {"checked", "COLUMN_OR_NUMBER", FOCI_SETTING_TEXT, AT(checked), NULL, 0, 0, false, NULL, READING, true,
     "units looked at: a column, or one number for all stops"},
    {"id", "COLUMN", FOCI_SETTING_TEXT, AT(id), NULL, 0, 0, false, NULL, READING, true,
     "the stop's name; else its row number"},
    {"when", "COLUMN", FOCI_SETTING_TEXT, AT(when), NULL, 0, 0, false, NULL, READING, true,
     "the stop's date, YYYY-MM-DD; else none"},
    {"from", "DATE", FOCI_SETTING_DATE, AT(from), NULL, 0, 0, false, NULL, READING, true,
     "only stops of this day and later"},
    {"to", "DATE", FOCI_SETTING_DATE, AT(to), NULL, 0, 0, false, NULL, READING, true,
     "only stops of this day and earlier"},
    {"crs", "CODE", FOCI_SETTING_CRS, AT(crs), NULL, 0, 0, false, NULL, READING, true,
     "the reference system of inputs that carry none, such as EPSG:4326"},
    {"xy", "XCOLUMN,YCOLUMN", FOCI_SETTING_TEXT, AT(xy), NULL, 0, 0, false, NULL, READING, true,
     "the coordinate columns of a CSV file; else lon/lat, longitude/latitude, x/y or easting/northing"},
    {"work-crs", "CODE", FOCI_SETTING_CRS, AT(work_crs), NULL, 0, 0, false, NULL, READING, true,
     "the projected system to work in; else the UTM zone of the field's center"},
    {"disease", "PROFILE", FOCI_SETTING_PROFILE, AT(disease), NULL, 0, 0, false, NULL, READING, true,
     "a built-in disease profile's name or a profile file (see: fieldfoci profiles)"},
    {"even-so", "REASON", FOCI_SETTING_TEXT, AT(even_so), NULL, 0, 0, false, NULL,
     FOCI_FOR_MAP | FOCI_FOR_TASK | FOCI_FOR_SEASONS, true,
     "go on past a guard of the trade; the reason is printed on everything that follows"},
    {"threshold", "X", FOCI_SETTING_NUMBER, AT(threshold), NULL, 0, INFINITY, false, NULL, SURFACE | FOCI_FOR_CHECK,
     true, "the action threshold in the reading's unit (counts: percent of units infected); else the profile's"},
    /* what is estimated */
    {"limits", "LEAST,MOST", FOCI_SETTING_TEXT, AT(limits), NULL, 0, 0, false, NULL, READING, true,
     "what a score can be, as in 1,10, its least where nothing is found: others are left out; else the profile's, else "
     "0 and up, percent 0 to 100"},
    {"surface", "METHOD", FOCI_SETTING_CHOICE, AT(surface), NULL, 0, 0, false, surfaces, SURFACE, true,
     "how the surface is made; else counts where hits and checked are given, kriging where they are not, and idw for "
     "fewer than 20 scores"},
    {"stop-variation", "WHEN", FOCI_SETTING_CHOICE, AT(stop_variation), "auto", 0, 0, false, variations, SURFACE, true,
     "counts: variation from stop to stop beyond the smooth surface and the binomial; auto: its evidence decides"},
    {"row-heading", "DEG", FOCI_SETTING_NUMBER, AT(row_heading), NULL, 0, 360, false, NULL, SURFACE, true,
     "direction of the crop rows, clockwise from true north: patches may then be longer along them; else not assumed"},
    {"earlier", "SURVEY", FOCI_SETTING_FILE, AT(earlier), NULL, 0, 0, false, NULL, SURFACE, true,
     "survey folder of an earlier season of the same field: used where left-out stops are foretold better with it"},
    {"variogram", "SPEC", FOCI_SETTING_TEXT, AT(variogram), NULL, 0, 0, false, NULL, MODEL, true,
     "a model's name to fit, or a whole model: spherical,nugget=1.2,partial-sill=149,range=95,heading=6,ratio=0.45; "
     "else fitted"},
    {"fit", "METHOD", FOCI_SETTING_CHOICE, AT(fit), "restricted-likelihood", 0, 0, false, fits, MODEL, true,
     "how a kriging model is fitted (variogram: weighted squares of the semivariances)"},
    {"scale", "SCALE", FOCI_SETTING_TEXT, AT(scale), NULL, 0, 0, false, NULL, SURFACE, true,
     "none, auto or box-cox=L: transformation of scores before kriging, results come back in the reading's unit; else "
     "auto for map and pattern, none for estimate"},
    {"trend", "ORDER", FOCI_SETTING_CHOICE, AT(trend), "0", 0, 0, false, trends, SURFACE, true,
     "order of the drift in x and y"},
    {"power", "P", FOCI_SETTING_NUMBER, AT(power), "2", 0, 50, true, NULL, SURFACE, true, "inverse-distance power"},
    {"neighbors", "N", FOCI_SETTING_WHOLE, AT(neighbours), NULL, 0, 100000, false, NULL, SURFACE, true,
     "how many nearest stops enter each estimate (0 = all); else all up to 1,000 stops, then 64"},
    {"lag", "M", FOCI_SETTING_LENGTH, AT(lag), NULL, 0, INFINITY, true, NULL, MODEL, true,
     "width of a distance class of the variogram; else one fifteenth of the farthest distance"},
    {"farthest", "M", FOCI_SETTING_LENGTH, AT(farthest), NULL, 0, INFINITY, true, NULL, MODEL, true,
     "largest distance of the variogram; else one third of the diagonal of the stops' bounding box"},
    {"cell", "M", FOCI_SETTING_LENGTH, AT(cell), NULL, 0, INFINITY, true, NULL, FOCI_FOR_MAP | FOCI_FOR_SEASONS, true,
     "cell size; else from the field's size and the stops' spacing (seasons: the finest of the surveys')"},
    /* what to do about it */
    {"treat-chance", "P", FOCI_SETTING_NUMBER, AT(treat_chance), "0.5", 0, 1, false, NULL, FOCI_FOR_MAP, true,
     "a cell is 'treat' where the chance of passing the threshold is at least this"},
    {"dig-chance", "P", FOCI_SETTING_NUMBER, AT(dig_chance), "0.2", 0, 1, false, NULL, FOCI_FOR_MAP, true,
     "a cell is 'dig' where the chance is at least this, and 'leave' below"},
    {"least-area", "HA", FOCI_SETTING_AREA, AT(least_area), NULL, 0, INFINITY, false, NULL, FOCI_FOR_MAP, true,
     "smallest hotspot kept, 0: one cell; else a quarter of the squared stop spacing"},
    {"swath", "M", FOCI_SETTING_LENGTH, AT(swath), NULL, 0, 1000, true, NULL, FOCI_FOR_MAP, true,
     "boom or section width: zones are then made of lanes this wide along the rows; else of cells"},
    {"least-run", "M", FOCI_SETTING_LENGTH, AT(least_run), "0", 0, 10000, false, NULL, FOCI_FOR_MAP, true,
     "shortest stretch that a sprayer can switch on or off"},
    {"lane-through", "LON,LAT", FOCI_SETTING_TEXT, AT(lane_through), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "a point on the middle of one lane; else lanes from the field's edge"},
    {"margin", "M", FOCI_SETTING_LENGTH, AT(margin), "0", 0, 1000, false, NULL, FOCI_FOR_MAP, true,
     "margin added round treat zones for position error"},
    {"cost", "C", FOCI_SETTING_PER_AREA, AT(cost), NULL, 0, INFINITY, false, NULL, FOCI_FOR_MAP, true,
     "cost of treating, as in 40/ac, or per hectare where no unit is given; with --loss it sets --treat-chance to cost "
     "/ loss"},
    {"loss", "L", FOCI_SETTING_PER_AREA, AT(loss), NULL, 0, INFINITY, true, NULL, FOCI_FOR_MAP, true,
     "loss avoided by treating where the threshold is passed, as in 80/ac, or per hectare"},
    {"digs", "N", FOCI_SETTING_WHOLE, AT(digs), "10", 0, 500, false, NULL, FOCI_FOR_MAP, true,
     "how many dig-check places to propose; a fifth of them fall outside the hotspots"},
    {"gate", "LON,LAT", FOCI_SETTING_TEXT, AT(gate), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "where the walk to the dig-checks starts; else the corner nearest to the first stop"},
    /* files for a sprayer's controller: rates are the user's */
    {"treat", "RATE", FOCI_SETTING_NUMBER, AT(treat), NULL, 0, INFINITY, true, NULL, FOCI_FOR_TASK, false,
     "rate for the zones to treat, from the product's label; needed"},
    {"dig", "RATE", FOCI_SETTING_NUMBER, AT(dig), "0", 0, INFINITY, false, NULL, FOCI_FOR_TASK, false,
     "rate for the zones to dig in and look first"},
    {"leave", "RATE", FOCI_SETTING_NUMBER, AT(leave), "0", 0, INFINITY, false, NULL, FOCI_FOR_TASK, false,
     "rate for the rest of the field"},
    {"unit", "UNIT", FOCI_SETTING_CHOICE, AT(unit), NULL, 0, 0, false, task_units, FOCI_FOR_TASK, false,
     "the rates' unit (gal: US gallon); needed"},
    {"product", "TEXT", FOCI_SETTING_TEXT, AT(product), NULL, 0, 0, false, NULL, FOCI_FOR_TASK, false,
     "what is applied, as its label calls it; needed"},
    {"form", "FORM", FOCI_SETTING_CHOICES, AT(form), NULL, 0, 0, false, task_forms, FOCI_FOR_TASK, false,
     "which files, may be repeated; else taskdata and shapefile"},
    {"layout", "LAYOUT", FOCI_SETTING_CHOICE, AT(layout), "grid", 0, 0, false, task_layouts, FOCI_FOR_TASK, false,
     "zones in task data: a code per cell, or outlines"},
    {"standard", "VERSION", FOCI_SETTING_CHOICE, AT(standard), "3", 0, 0, false, task_standards, FOCI_FOR_TASK, false,
     "version of ISO 11783-10's task file"},
    /* what is remembered */
    {"history", "HISTORY", FOCI_SETTING_TEXT, AT(history), NULL, 0, 0, false, NULL, FOCI_FOR_RECORD | FOCI_FOR_SEASONS,
     false,
     "where surveys are remembered: a GeoPackage, or a database's connection string such as PG:dbname=farm; record "
     "needs it"},
    {"replace", NULL, FOCI_SETTING_FLAG, AT(replace), NULL, 0, 0, false, NULL, FOCI_FOR_RECORD, false,
     "put this survey in the place of another map of the same field, season and disease; else that is refused"},
    {"remove", "SEASON", FOCI_SETTING_TEXT, AT(remove), NULL, 0, 0, false, NULL, FOCI_FOR_HISTORY, false,
     "take the survey of this season out; or the one with these letters in brackets"},
    {"only", "SEASON", FOCI_SETTING_TEXTS, AT(only), NULL, 0, 0, false, NULL, FOCI_FOR_SEASONS, false,
     "a season of the history to compare, or the letters in brackets that history prints; given twice or more; else "
     "all"},
    {"crop", "TEXT", FOCI_SETTING_TEXT, AT(crop), NULL, 0, 0, false, NULL, FOCI_FOR_RECORD, false, "the season's crop"},
    {"laboratory", "TEXT", FOCI_SETTING_TEXT, AT(laboratory), NULL, 0, 0, false, NULL, FOCI_FOR_RECORD, false,
     "what a laboratory found; may be given later, for a survey that is recorded already"},
    /* labels, and the run itself */
    {"season", "TEXT", FOCI_SETTING_TEXT, AT(season), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "the season's label; else from the stops' dates"},
    {"title", "TEXT", FOCI_SETTING_TEXT, AT(title), NULL, 0, 0, false, NULL, FOCI_FOR_MAP | FOCI_FOR_SEASONS, true,
     "the headline; else the finding"},
    {"paper", "PAPER", FOCI_SETTING_CHOICE, AT(paper), "letter", 0, 0, false, papers, FOCI_FOR_MAP, true,
     "what map.pdf is printed on, on its side; with a4 hectares and meters lead, else acres and feet"},
    {"cross-check", NULL, FOCI_SETTING_FLAG, AT(cross_check), NULL, 0, 0, false, NULL, FOCI_FOR_MAP | FOCI_FOR_ESTIMATE,
     true, "leave-one-out cross-validation, put into the summary; done anyway up to 1,000 stops"},
    {"at", "PLACES", FOCI_SETTING_FILE, AT(at), NULL, 0, 0, false, NULL, FOCI_FOR_ESTIMATE, false,
     "the points to estimate at, any vector file of points"},
    {"job", "FILE", FOCI_SETTING_FILE, AT(job), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, false,
     "take stops and options from the 'job' part of a survey.json, files beside it; what the command line names wins"},
    {"band", "M", FOCI_SETTING_LENGTH, AT(band), NULL, 0, INFINITY, true, NULL, FOCI_FOR_PATTERN, true,
     "stops no farther apart than this are neighbors; else 1.5 stop spacings"},
    {"seed", "N", FOCI_SETTING_WHOLE, AT(seed), "1", 0, 4294967295.0, false, NULL, DRAWS, true,
     "start of the random draws"},
    {"threads", "N", FOCI_SETTING_WHOLE, AT(threads), NULL, 1, 4096, false, NULL, SURFACE | FOCI_FOR_SEASONS, false,
     "processor cores to use; else all"},
    {"out", "PATH", FOCI_SETTING_FILE, AT(out), NULL, 0, 0, false, NULL, WRITES, false,
     "where the result goes: a folder for map, task and seasons, a file for estimate and pattern (.csv, .geojson, "
     ".gpkg) and "
     "variogram "
     "(.png)"},
    {"overwrite", NULL, FOCI_SETTING_FLAG, AT(overwrite), NULL, 0, 0, false, NULL, WRITES, false,
     "replace what is there; only files of this program are replaced"},
    {"json", NULL, FOCI_SETTING_FLAG, AT(json), NULL, 0, 0, false, NULL, TALKS, false,
     "print the result as JSON on standard output"},
    {"quiet", NULL, FOCI_SETTING_FLAG, AT(quiet), NULL, 0, 0, false, NULL, TALKS | FOCI_FOR_TASK | FOCI_FOR_RECORD,
     false, "no messages but errors"},
    {0},
};
_Static_assert(sizeof foci_setting_table / sizeof *foci_setting_table <= FOCI_SETTINGS_MOST, "room for every setting");
