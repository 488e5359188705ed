/* Every setting: one row gives the option's parser, range, default, help, its part in the job and in the docs. */
#include "run/settings/kinds.h"

#include <math.h>

#include "estimate/predict/score_model.h"

#define AT(member) offsetof(foci_settings, member)
#define KIND(name) (&foci_kinds[FOCI_KIND_##name])
#define NONE                                                                                                           \
    { NULL, 0 }
#define ROWS(table)                                                                                                    \
    { (table), sizeof *(table) }

enum {
    READING = FOCI_FOR_MAP | FOCI_FOR_CHECK | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN,
    SURFACE = FOCI_FOR_MAP | FOCI_FOR_ESTIMATE | FOCI_FOR_PATTERN, /* judging a pattern fits the map's surface */
    MODEL = SURFACE | FOCI_FOR_VARIOGRAM,
    FORM = READING | FOCI_FOR_PLAN, /* a plan's form has the columns that are read later */
    WRITES = FOCI_FOR_MAP | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN | FOCI_FOR_TASK |
             FOCI_FOR_SEASONS | FOCI_FOR_PLAN,
    DRAWS = FOCI_FOR_MAP | FOCI_FOR_PATTERN | FOCI_FOR_SEASONS | FOCI_FOR_PLAN,
    TALKS = FORM | FOCI_FOR_LOOK | FOCI_FOR_PROFILES | FOCI_FOR_HISTORY | FOCI_FOR_SEASONS | FOCI_FOR_DESK,
};

static const struct {
    const char *name;
} trends[] = {{"0"}, {"1"}, {"2"}, {0}}, variations[] = {{"auto"}, {"on"}, {"off"}, {0}}; /* as foci_stop_variation */

const foci_setting foci_setting_table[] = {
    /* what was found, and where */
    {"field", "FILE", KIND(FILE), AT(survey.boundary), NULL, 0, 0, false, NONE, FORM, true,
     "the field's boundary: polygon or multipolygon, holes allowed (map and check need it)"},
    {"field-name", "NAME", KIND(TEXT), AT(survey.field.name), NULL, 0, 0, false, NONE,
     FORM | FOCI_FOR_HISTORY | FOCI_FOR_SEASONS, true,
     "which field, where the file or the history holds several; else the only one"},
    {"field-column", "COLUMN", KIND(TEXT), AT(survey.field.column), NULL, 0, 0, false, NONE, FORM, true,
     "the column that --field-name is matched against; else 'name'"},
    {"field-layer", "NAME", KIND(TEXT), AT(survey.field.layer), NULL, 0, 0, false, NONE, FORM, true,
     "the layer of the boundary's file, where several hold polygons; else the only one"},
    {"layer", "NAME", KIND(TEXT), AT(survey.stops.layer), NULL, 0, 0, false, NONE, READING | FOCI_FOR_LOOK, true,
     "the layer of the stops' files, where several hold points; else the only one (look: else the first)"},
    {"value", "COLUMN", KIND(TEXT), AT(survey.stops.value), NULL, 0, 0, false, NONE, FORM, true,
     "the severity score at each stop"},
    {"scale-of", "NAME", KIND(ORDINAL), AT(survey.stops.scale_of), NULL, 0, 0, false, NONE, FORM, true,
     "the ordinal scale of the scores, a built-in one or a file of class limits: each is read as the percent of its "
     "class; none where they are amounts; else the profile's"},
    {"classes", "COLUMN,COLUMN,...", KIND(TEXT), AT(survey.stops.classes), NULL, 0, 0, false, NONE, FORM, true,
     "plants counted in each class of --scale-of, soundest first: each stop is read as its disease severity index"},
    {"hits", "COLUMN", KIND(TEXT), AT(survey.stops.hits), NULL, 0, 0, false, NONE, FORM, true,
     "infected units at each stop (plants, 1-ft row sections, pods ...); goes with --checked"},
    {"checked", "COLUMN_OR_NUMBER", KIND(TEXT), AT(survey.stops.checked), NULL, 0, 0, false, NONE, FORM, true,
     "units looked at: a column, or one number for all stops"},
    {"id", "COLUMN", KIND(TEXT), AT(survey.stops.id), NULL, 0, 0, false, NONE, READING, true,
     "the stop's name; else its row number"},
    {"when", "COLUMN", KIND(TEXT), AT(survey.stops.when), NULL, 0, 0, false, NONE, READING, true,
     "the stop's date; else none"},
    {"dates", "ORDER", KIND(ROW), AT(survey.stops.dates), NULL, 0, 0, false, ROWS(foci_date_orders), READING, true,
     "how dates are written that begin with the day or the month; else as those show that leave no choice"},
    {"rater", "COLUMN", KIND(TEXT), AT(survey.stops.rater), NULL, 0, 0, false, NONE, READING, true,
     "who rated the stop; else nobody is told apart"},
    {"from", "DATE", KIND(DATE), AT(survey.stops.from), NULL, 0, 0, false, NONE, READING, true,
     "only stops of this day and later"},
    {"to", "DATE", KIND(DATE), AT(survey.stops.to), NULL, 0, 0, false, NONE, READING, true,
     "only stops of this day and earlier"},
    {"rated", "KIND", KIND(ROW), AT(survey.stops.rating), NULL, 0, 0, false, ROWS(foci_rating_table), READING, true,
     "how all stops were rated; else as a column 'rated' of theirs says, else as the profile says: the two kinds never "
     "go into one map"},
    {"crs", "CODE", KIND(SYSTEM), AT(survey.stops.crs), NULL, 0, 0, false, NONE, FORM | FOCI_FOR_LOOK, true,
     "the reference system of inputs that carry none, such as EPSG:4326"},
    {"xy", "XCOLUMN,YCOLUMN", KIND(TEXT), AT(survey.stops.xy), NULL, 0, 0, false, NONE, READING | FOCI_FOR_LOOK, true,
     "the coordinate columns of a CSV file; else lon/lat, longitude/latitude, x/y or easting/northing"},
    {"work-crs", "CODE", KIND(SYSTEM), AT(survey.work_crs), NULL, 0, 0, false, NONE, FORM, true,
     "the projected system to work in; else the UTM zone of the field's center"},
    {"disease", "PROFILE", KIND(PROFILE), AT(survey.disease), NULL, 0, 0, false, NONE, FORM, true,
     "a built-in disease profile's name or a profile file (see: fieldfoci profiles)"},
    {"even-so", "REASON", KIND(TEXT), AT(survey.even_so), NULL, 0, 0, false, NONE,
     FOCI_FOR_MAP | FOCI_FOR_TASK | FOCI_FOR_SEASONS, true,
     "go on past a guard of the trade; the reason is printed on everything that follows"},
    {"threshold", "X", KIND(NUMBER), AT(survey.surface.threshold), NULL, 0, INFINITY, false, NONE,
     SURFACE | FOCI_FOR_CHECK | FOCI_FOR_PLAN, true,
     "the action threshold in the reading's unit (counts: percent of units infected); else the profile's"},
    /* what is estimated */
    {"limits", "LEAST,MOST", KIND(LIMITS), AT(survey.stops), NULL, 0, 0, false, NONE, READING, true,
     "what a score can be, as in 1,10, its least where nothing is found: others are left out; else the profile's, else "
     "0 and up, percent 0 to 100"},
    {"surface", "METHOD", KIND(ROW), AT(survey.surface.method), NULL, 0, 0, false, ROWS(foci_surface_methods), SURFACE,
     true,
     "how the surface is made; else counts where hits and checked are given, kriging where they are not, and idw for "
     "fewer than 20 scores"},
    {"stop-variation", "WHEN", KIND(ORDER), AT(survey.surface.stop_variation), "auto", 0, 0, false, ROWS(variations),
     SURFACE, true,
     "counts: variation from stop to stop beyond the smooth surface and the binomial; auto: its evidence decides"},
    {"row-heading", "DEG", KIND(NUMBER), AT(survey.row_heading), NULL, 0, 360, false, NONE, SURFACE | FOCI_FOR_PLAN,
     true,
     "direction of the crop rows, clockwise from true north: patches may then be longer along them; else not assumed"},
    {"earlier", "SURVEY", KIND(FILE), AT(survey.earlier), NULL, 0, 0, false, NONE, SURFACE, true,
     "survey folder of an earlier season of the same field: used where left-out stops are foretold better with it"},
    {"variogram", "SPEC", KIND(MODEL), AT(survey.variogram), NULL, 0, 0, false, NONE, MODEL, true,
     "a model's name to fit, or a whole model: spherical,nugget=1.2,partial-sill=149,range=95,heading=6,ratio=0.45; "
     "else fitted"},
    {"fit", "METHOD", KIND(ROW), AT(survey.surface.fit), "restricted-likelihood", 0, 0, false, ROWS(foci_fit_methods),
     MODEL, true, "how a kriging model is fitted (variogram: weighted squares of the semivariances)"},
    {"scale", "SCALE", KIND(SCALE), AT(survey.surface), NULL, 0, 0, false, NONE, SURFACE, true,
     "none, auto or box-cox=L: transformation of scores before kriging, results come back in the reading's unit; else "
     "auto for map and pattern, none for estimate"},
    {"trend", "ORDER", KIND(ORDER), AT(survey.surface.trend), "0", 0, 0, false, ROWS(trends), SURFACE, true,
     "order of the drift in x and y"},
    {"power", "P", KIND(NUMBER), AT(survey.surface.power), "2", 0, 50, true, NONE, SURFACE, true,
     "inverse-distance power"},
    {"neighbors", "N", KIND(WHOLE), AT(survey.surface.neighbours), NULL, 0, 100000, false, NONE, SURFACE, true,
     "how many nearest stops enter each estimate (0 = all); else all up to 1,000 stops, then 64"},
    {"lag", "M", KIND(LENGTH), AT(survey.surface.lag), NULL, 0, INFINITY, true, NONE, MODEL, true,
     "width of a distance class of the variogram; else one fifteenth of the farthest distance"},
    {"farthest", "M", KIND(LENGTH), AT(survey.surface.farthest), NULL, 0, INFINITY, true, NONE, MODEL, true,
     "largest distance of the variogram; else one third of the diagonal of the stops' bounding box"},
    {"cell", "M", KIND(LENGTH), AT(survey.cell), NULL, 0, INFINITY, true, NONE, FOCI_FOR_MAP | FOCI_FOR_SEASONS, true,
     "cell size; else from the field's size and the stops' spacing (seasons: the finest of the surveys')"},
    /* what to do about it */
    {"treat-chance", "P", KIND(NUMBER), AT(survey.hotspots.treat_chance), "0.5", 0, 1, false, NONE, FOCI_FOR_MAP, true,
     "a cell is 'treat' where the chance of passing the threshold is at least this"},
    {"dig-chance", "P", KIND(NUMBER), AT(survey.zones.dig_chance), "0.2", 0, 1, false, NONE, FOCI_FOR_MAP, true,
     "a cell is 'dig' where the chance is at least this, and 'leave' below"},
    {"least-area", "HA", KIND(AREA), AT(survey.hotspots.least_area_ha), NULL, 0, INFINITY, false, NONE, FOCI_FOR_MAP,
     true, "smallest hotspot kept, 0: one cell; else a quarter of the squared stop spacing"},
    {"swath", "M", KIND(LENGTH), AT(survey.zones.swath), NULL, 0, 1000, true, NONE, FOCI_FOR_MAP, true,
     "boom or section width: zones are then made of lanes this wide along the rows; else of cells"},
    {"least-run", "M", KIND(LENGTH), AT(survey.zones.least_run), "0", 0, 10000, false, NONE, FOCI_FOR_MAP, true,
     "shortest stretch that a sprayer can switch on or off"},
    {"lane-through", "LON,LAT", KIND(PLACE), AT(survey.lane_through), NULL, 0, 0, false, NONE, FOCI_FOR_MAP, true,
     "a point on the middle of one lane; else lanes from the field's edge"},
    {"margin", "M", KIND(LENGTH), AT(survey.zones.margin), "0", 0, 1000, false, NONE, FOCI_FOR_MAP, true,
     "margin added round treat zones for position error"},
    {"cost", "C", KIND(RATE), AT(survey.economics.cost), NULL, 0, INFINITY, false, NONE, FOCI_FOR_MAP, true,
     "cost of treating, as in 40/ac, or per hectare where no unit is given; with --loss it sets --treat-chance to cost "
     "/ loss"},
    {"loss", "L", KIND(RATE), AT(survey.economics.loss), NULL, 0, INFINITY, true, NONE, FOCI_FOR_MAP, true,
     "loss avoided by treating where the threshold is passed, as in 80/ac, or per hectare"},
    {"digs", "N", KIND(WHOLE), AT(survey.digs.count), "10", 0, 500, false, NONE, FOCI_FOR_MAP, true,
     "how many dig-check places to propose; a fifth of them fall outside the hotspots"},
    {"gate", "LON,LAT", KIND(PLACE), AT(survey.gate), NULL, 0, 0, false, NONE, FOCI_FOR_MAP | FOCI_FOR_PLAN, true,
     "where the walk to the dig-checks or stops starts; else the corner nearest to the first stop"},
    /* where to walk */
    {"stops", "N", KIND(WHOLE), AT(plan.stops), NULL, 0, FOCI_LAYOUT_MOST, false, NONE, FOCI_FOR_PLAN, false,
     "how many stops; with --pattern again how many new ones. Or say what they are for, with --for-mean or "
     "--for-patch"},
    {"for-mean", "CV", KIND(NUMBER), AT(plan.for_mean), NULL, 0, 2, true, NONE, FOCI_FOR_PLAN, false,
     "as many stops as tell the field's average with this coefficient of variation: 0.2 is common, 0.1 strict"},
    {"for-patch", "AREA", KIND(AREA), AT(plan.patch_ha), NULL, 0, INFINITY, true, NONE, FOCI_FOR_PLAN, false,
     "as many stops as find a round patch of this area, as in 1ac; with --stops: the chance that these find it"},
    {"chance", "P", KIND(NUMBER), AT(plan.chance), "0.8", 0, 0.99, true, NONE, FOCI_FOR_PLAN, false,
     "the chance with which a patch is to be found"},
    {"pattern", "PATTERN", KIND(ROW), AT(plan.pattern), "grid", 0, 0, false, ROWS(foci_layout_patterns), FOCI_FOR_PLAN,
     false,
     "grid: along the rows, each stop moved a little; zigzag: for the average; gaps: where the surveys of --earlier "
     "are "
     "least certain; again: the stops of an earlier survey, and new ones"},
    {"earlier", "SURVEY", KIND(FILES), AT(plan.earlier), NULL, 0, 0, false, NONE, FOCI_FOR_PLAN, false,
     "survey folder of this field, for gaps and again; may be repeated, oldest first. One of this season is added to"},
    {"digs", "SURVEY", KIND(FILE), AT(plan.digs), NULL, 0, 0, false, NONE, FOCI_FOR_PLAN, false,
     "survey folder whose dig-checks are the plan, in its map's order; no boundary is needed then"},
    {"margin", "M", KIND(LENGTH), AT(plan.margin), NULL, 0, 1000, false, NONE, FOCI_FOR_PLAN, false,
     "how far stops stay from edges and holes; else 10 m, and less in a small field"},
    {"expect", "X", KIND(NUMBER), AT(plan.expect), NULL, 0, INFINITY, true, NONE, FOCI_FOR_PLAN, false,
     "the field's average that is expected, in the reading's unit (counts: percent of units infected); else that of "
     "the last survey of --earlier, else the threshold"},
    {"aggregation", "X", KIND(NUMBER), AT(plan.aggregation), NULL, 0, INFINITY, false, NONE, FOCI_FOR_PLAN, false,
     "how unevenly the disease lies: theta of the beta-binomial (scores: standard deviation of the stops over their "
     "mean); else that of the last survey of --earlier, else 0.1 (scores: 1)"},
    /* files for a sprayer's controller: rates are the user's */
    {"treat", "RATE", KIND(NUMBER), AT(task.treat), NULL, 0, INFINITY, true, NONE, FOCI_FOR_TASK, false,
     "rate for the zones to treat, from the product's label; needed"},
    {"dig", "RATE", KIND(NUMBER), AT(task.dig), "0", 0, INFINITY, false, NONE, FOCI_FOR_TASK, false,
     "rate for the zones to dig in and look first"},
    {"leave", "RATE", KIND(NUMBER), AT(task.leave), "0", 0, INFINITY, false, NONE, FOCI_FOR_TASK, false,
     "rate for the rest of the field"},
    {"unit", "UNIT", KIND(ROW), AT(task.unit), NULL, 0, 0, false, ROWS(foci_task_unit_table), FOCI_FOR_TASK, false,
     "the rates' unit (gal: US gallon); needed"},
    {"product", "TEXT", KIND(TEXT), AT(task.product), NULL, 0, 0, false, NONE, FOCI_FOR_TASK, false,
     "what is applied, as its label calls it; needed"},
    {"form", "FORM", KIND(ROWS), AT(task.forms), NULL, 0, 0, false, ROWS(foci_task_form_table), FOCI_FOR_TASK, false,
     "which files, may be repeated; else taskdata and shapefile"},
    {"layout", "LAYOUT", KIND(ROW), AT(task.layout), "grid", 0, 0, false, ROWS(foci_task_layout_table), FOCI_FOR_TASK,
     false, "zones in task data: a code per cell, or outlines"},
    {"standard", "VERSION", KIND(ROW), AT(task.standard), "3", 0, 0, false, ROWS(foci_task_standard_table),
     FOCI_FOR_TASK, false, "version of ISO 11783-10's task file"},
    /* what is remembered */
    {"history", "HISTORY", KIND(HISTORY), AT(history), NULL, 0, 0, false, NONE, FOCI_FOR_RECORD | FOCI_FOR_SEASONS,
     false,
     "where surveys are remembered: a GeoPackage, or a database's connection string such as PG:dbname=farm; record "
     "needs it"},
    {"replace", NULL, KIND(FLAG), AT(record.replace), NULL, 0, 0, false, NONE, FOCI_FOR_RECORD, false,
     "put this survey in the place of another map of the same field, season and disease; else that is refused"},
    {"remove", "SEASON", KIND(TEXT), AT(remove), NULL, 0, 0, false, NONE, FOCI_FOR_HISTORY, false,
     "take the survey of this season out; or the one with these letters in brackets"},
    {"only", "SEASON", KIND(LINES), AT(only), NULL, 0, 0, false, NONE, FOCI_FOR_SEASONS, false,
     "a season of the history to compare, or the letters in brackets that history prints; given twice or more; else "
     "all"},
    {"crop", "TEXT", KIND(TEXT), AT(record.crop), NULL, 0, 0, false, NONE, FOCI_FOR_RECORD, false, "the season's crop"},
    {"laboratory", "TEXT", KIND(TEXT), AT(record.laboratory), NULL, 0, 0, false, NONE, FOCI_FOR_RECORD, false,
     "what a laboratory found; may be given later, for a survey that is recorded already"},
    /* labels, and the run itself */
    {"season", "TEXT", KIND(TEXT), AT(survey.season), NULL, 0, 0, false, NONE, FOCI_FOR_MAP | FOCI_FOR_PLAN, true,
     "the season's label; else from the stops' dates (plan: this year)"},
    {"title", "TEXT", KIND(TEXT), AT(survey.title), NULL, 0, 0, false, NONE,
     FOCI_FOR_MAP | FOCI_FOR_SEASONS | FOCI_FOR_PLAN, true, "the headline; else the finding"},
    {"paper", "PAPER", KIND(ROW), AT(survey.paper), "letter", 0, 0, false, ROWS(foci_paper_table),
     FOCI_FOR_MAP | FOCI_FOR_PLAN, true,
     "what the PDF is printed on, on its side; with a4 hectares and meters lead, else acres and feet"},
    {"photo", "RASTER", KIND(FILE), AT(survey.photo), NULL, 0, 0, false, NONE, FOCI_FOR_MAP, true,
     "a photo of the field from above to lie under the map: GeoTIFF, JPEG 2000, GeoPackage, PNG or JPEG with a world "
     "file"},
    {"credit", "TEXT", KIND(TEXT), AT(survey.credit), NULL, 0, 0, false, NONE, FOCI_FOR_MAP, true,
     "whose photo it is; else what its file says"},
    {"marks", "FILE", KIND(FILE), AT(survey.marks), NULL, 0, 0, false, NONE, FOCI_FOR_MAP, true,
     "what people know the field by, drawn with its names: roads, wells, drains, trees"},
    {"letter-from", "NAME", KIND(TEXT), AT(survey.letter_from), NULL, 0, 0, false, NONE, FOCI_FOR_MAP, true,
     "who signs the letter to the grower; else nobody"},
    {"cross-check", NULL, KIND(FLAG), AT(survey.cross_validation), NULL, 0, 0, false, NONE,
     FOCI_FOR_MAP | FOCI_FOR_ESTIMATE, true,
     "leave-one-out cross-validation, put into the summary; done anyway up to 1,000 stops"},
    {"at", "PLACES", KIND(FILE), AT(at), NULL, 0, 0, false, NONE, FOCI_FOR_ESTIMATE, false,
     "the points to estimate at, any vector file of points"},
    {"job", "FILE", KIND(FILE), AT(job), NULL, 0, 0, false, NONE,
     WRITES | FOCI_FOR_CHECK | FOCI_FOR_RECORD | FOCI_FOR_HISTORY, false,
     "take options from the 'job' part of a JSON file such as a survey.json, files beside it; what the command line "
     "names wins"},
    {"band", "M", KIND(LENGTH), AT(survey.pattern.band), NULL, 0, INFINITY, true, NONE, FOCI_FOR_PATTERN, true,
     "stops no farther apart than this are neighbors; else 1.5 stop spacings"},
    {"seed", "N", KIND(WHOLE), AT(survey.seed), "1", 0, 4294967295.0, false, NONE, DRAWS, true,
     "start of the random draws"},
    {"threads", "N", KIND(WHOLE), AT(threads), NULL, 1, 4096, false, NONE, SURFACE | FOCI_FOR_SEASONS | FOCI_FOR_PLAN,
     false, "processor cores to use; else all"},
    {"port", "N", KIND(WHOLE), AT(port), NULL, 1, 65535, false, NONE, FOCI_FOR_DESK, false,
     "where the desk is served on this machine; else at any place that is free"},
    {"no-browser", NULL, KIND(FLAG), AT(no_browser), NULL, 0, 0, false, NONE, FOCI_FOR_DESK, false,
     "print the desk's address only"},
    {"out", "PATH", KIND(FILE), AT(out), NULL, 0, 0, false, NONE, WRITES | FOCI_FOR_CHECK, false,
     "where the result goes: a folder for map, task (or a .zip of it) and seasons, a file for estimate and pattern "
     "(.csv, .geojson, "
     ".gpkg), variogram and check (.png) and plan (.csv, .geojson, .gpx, .pdf)"},
    {"overwrite", NULL, KIND(FLAG), AT(overwrite), NULL, 0, 0, false, NONE, WRITES | FOCI_FOR_CHECK, false,
     "replace what is there; only files of this program are replaced"},
    {"json", NULL, KIND(FLAG), AT(json), NULL, 0, 0, false, NONE, TALKS, false,
     "print the result as JSON on standard output"},
    {"progress", NULL, KIND(FLAG), AT(progress), NULL, 0, 0, false, NONE,
     WRITES | FOCI_FOR_RECORD | FOCI_FOR_HISTORY | FOCI_FOR_CHECK | FOCI_FOR_LOOK, false,
     "tell a program how far it is: one JSON object a line on standard error, with done (0 to 1) and phase, a note or "
     "warning, or a failure's key, file, row and text"},
    {"quiet", NULL, KIND(FLAG), AT(quiet), NULL, 0, 0, false, NONE, TALKS | FOCI_FOR_TASK | FOCI_FOR_RECORD, false,
     "no messages but errors"},
    {0},
};
_Static_assert(sizeof foci_setting_table / sizeof *foci_setting_table <= FOCI_SETTINGS_MOST, "room for every setting");
