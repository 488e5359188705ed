#include "fieldfoci/settings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "run/job.h"

#define AT(member) offsetof(foci_settings, member)

enum {
    READING = FOCI_FOR_MAP | FOCI_FOR_CHECK | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN,
    SURFACE = FOCI_FOR_MAP | FOCI_FOR_ESTIMATE,
    MODEL = SURFACE | FOCI_FOR_VARIOGRAM,
    WRITES = FOCI_FOR_MAP | FOCI_FOR_ESTIMATE | FOCI_FOR_VARIOGRAM | FOCI_FOR_PATTERN,
    DRAWS = FOCI_FOR_MAP | FOCI_FOR_PATTERN,
    TALKS = READING | FOCI_FOR_PROFILES,
};

static const char *const surfaces[] = {"counts", "kriging", "indicator", "idw", NULL};
static const char *const fits[] = {"restricted-likelihood", "likelihood", "weighted-squares", NULL};
static const char *const trends[] = {"0", "1", "2", NULL};
static const char *const variations[] = {"auto", "on", "off", NULL};

const foci_setting foci_setting_table[] = {
    /* what was found, and where */
    {"field", "FILE", FOCI_SETTING_FILE, AT(field), NULL, 0, 0, false, NULL, READING, true,
     "the field's boundary: polygon or multipolygon, holes allowed (map and check need it)"},
    {"field-name", "NAME", FOCI_SETTING_TEXT, AT(field_name), NULL, 0, 0, false, NULL, READING, true,
     "which feature, where the file holds several fields; else the only one"},
    {"field-column", "COLUMN", FOCI_SETTING_TEXT, AT(field_column), NULL, 0, 0, false, NULL, READING, true,
     "the column that --field-name is matched against; else 'name'"},
    {"value", "COLUMN", FOCI_SETTING_TEXT, AT(value), NULL, 0, 0, false, NULL, READING, true,
     "the severity score at each stop"},
    {"hits", "COLUMN", FOCI_SETTING_TEXT, AT(hits), NULL, 0, 0, false, NULL, READING, true,
     "infected units at each stop (plants, 30 cm row sections, pods ...); goes with --checked"},
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
    {"crs", "CODE", FOCI_SETTING_TEXT, AT(crs), NULL, 0, 0, false, NULL, READING, true,
     "the reference system of inputs that carry none, such as EPSG:4326"},
    {"xy", "XCOLUMN,YCOLUMN", FOCI_SETTING_TEXT, AT(xy), NULL, 0, 0, false, NULL, READING, true,
     "the coordinate columns of a CSV file; else lon/lat, longitude/latitude, x/y or easting/northing"},
    {"work-crs", "CODE", FOCI_SETTING_TEXT, AT(work_crs), NULL, 0, 0, false, NULL, READING, true,
     "the projected system to work in; else the UTM zone of the field's centre"},
    {"disease", "PROFILE", FOCI_SETTING_TEXT, AT(disease), NULL, 0, 0, false, NULL, READING, true,
     "a built-in disease profile's name or a profile file (see: fieldfoci profiles)"},
    {"even-so", "REASON", FOCI_SETTING_TEXT, AT(even_so), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "go on past a guard of the trade; the reason is printed on everything that follows"},
    {"threshold", "X", FOCI_SETTING_NUMBER, AT(threshold), NULL, 0, INFINITY, false, NULL, SURFACE | FOCI_FOR_CHECK,
     true, "the action threshold in the reading's unit (counts: percent of units infected); else the profile's"},
    /* what is estimated */
    {"limits", "LEAST,MOST", FOCI_SETTING_TEXT, AT(limits), NULL, 0, 0, false, NULL, SURFACE, true,
     "what a reading can be, as in 1,10; else 0 and up, percent 0 to 100"},
    {"surface", "METHOD", FOCI_SETTING_CHOICE, AT(surface), NULL, 0, 0, false, surfaces, SURFACE, true,
     "how the surface is made; else counts where hits and checked are given, kriging where they are not, and idw for "
     "fewer than 20 scores"},
    {"stop-variation", "WHEN", FOCI_SETTING_CHOICE, AT(stop_variation), "auto", 0, 0, false, variations, SURFACE, true,
     "counts: variation from stop to stop beyond the smooth surface and the binomial; auto: its evidence decides"},
    {"row-heading", "DEG", FOCI_SETTING_NUMBER, AT(row_heading), NULL, 0, 360, false, NULL, SURFACE, true,
     "direction of the crop rows, clockwise from true north: patches may then be longer along them; else not assumed"},
    {"variogram", "SPEC", FOCI_SETTING_TEXT, AT(variogram), NULL, 0, 0, false, NULL, MODEL, true,
     "a model's name to fit, or a whole model: spherical,nugget=0.05,partial-sill=0.59,range=897,heading=30,ratio=0.6; "
     "else fitted"},
    {"fit", "METHOD", FOCI_SETTING_CHOICE, AT(fit), "restricted-likelihood", 0, 0, false, fits, MODEL, true,
     "how a kriging model is fitted (variogram: weighted squares of the semivariances)"},
    {"scale", "SCALE", FOCI_SETTING_TEXT, AT(scale), NULL, 0, 0, false, NULL, SURFACE, true,
     "none, auto or box-cox=L: transformation of scores before kriging, results come back in the reading's unit; else "
     "auto for map, none for estimate"},
    {"trend", "ORDER", FOCI_SETTING_CHOICE, AT(trend), "0", 0, 0, false, trends, SURFACE, true,
     "order of the drift in x and y"},
    {"power", "P", FOCI_SETTING_NUMBER, AT(power), "2", 0, 50, true, NULL, SURFACE, true, "inverse-distance power"},
    {"neighbours", "N", FOCI_SETTING_WHOLE, AT(neighbours), NULL, 0, 100000, false, NULL, SURFACE, true,
     "how many nearest stops enter each estimate (0 = all); else all up to 1,000 stops, then 64"},
    {"lag", "M", FOCI_SETTING_LENGTH, AT(lag), NULL, 0, INFINITY, true, NULL, MODEL, true,
     "width of a distance class of the variogram; else one fifteenth of the cutoff"},
    {"cutoff", "M", FOCI_SETTING_LENGTH, AT(cutoff), NULL, 0, INFINITY, true, NULL, MODEL, true,
     "largest distance of the variogram; else one third of the diagonal of the stops' bounding box"},
    {"cell", "M", FOCI_SETTING_LENGTH, AT(cell), NULL, 0, INFINITY, true, NULL, FOCI_FOR_MAP, true,
     "cell size; else from the field's size and the stops' spacing"},
    /* what to do about it */
    {"treat-chance", "P", FOCI_SETTING_NUMBER, AT(treat_chance), "0.5", 0, 1, false, NULL, FOCI_FOR_MAP, true,
     "a cell is 'treat' where the chance of passing the threshold is at least this"},
    {"dig-chance", "P", FOCI_SETTING_NUMBER, AT(dig_chance), "0.2", 0, 1, false, NULL, FOCI_FOR_MAP, true,
     "a cell is 'dig' where the chance is at least this, and 'leave' below"},
    {"least-area", "HA", FOCI_SETTING_AREA, AT(least_area), "0", 0, INFINITY, false, NULL, FOCI_FOR_MAP, true,
     "smallest hotspot kept; 0: one cell"},
    /* labels, and the run itself */
    {"season", "TEXT", FOCI_SETTING_TEXT, AT(season), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "the season's label; else from the stops' dates"},
    {"title", "TEXT", FOCI_SETTING_TEXT, AT(title), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, true,
     "the map's headline; else the finding"},
    {"cross-check", NULL, FOCI_SETTING_FLAG, AT(cross_check), NULL, 0, 0, false, NULL, SURFACE, true,
     "leave-one-out cross-validation, put into the summary; done anyway up to 1,000 stops"},
    {"at", "PLACES", FOCI_SETTING_FILE, AT(at), NULL, 0, 0, false, NULL, FOCI_FOR_ESTIMATE, false,
     "the points to estimate at, any vector file of points"},
    {"job", "FILE", FOCI_SETTING_FILE, AT(job), NULL, 0, 0, false, NULL, FOCI_FOR_MAP, false,
     "take options from the 'job' part of a survey.json; options on the command line win"},
    {"band", "M", FOCI_SETTING_LENGTH, AT(band), NULL, 0, INFINITY, true, NULL, FOCI_FOR_PATTERN, true,
     "stops no farther apart than this are neighbours; else 1.5 stop spacings"},
    {"seed", "N", FOCI_SETTING_WHOLE, AT(seed), "1", 0, 4294967295.0, false, NULL, DRAWS, true,
     "start of the random draws"},
    {"threads", "N", FOCI_SETTING_WHOLE, AT(threads), NULL, 1, 4096, false, NULL, SURFACE | FOCI_FOR_PATTERN, false,
     "processor cores to use; else all"},
    {"out", "PATH", FOCI_SETTING_FILE, AT(out), NULL, 0, 0, false, NULL, WRITES, false,
     "where the result goes: a folder for map, a file for estimate and pattern (.csv, .geojson, .gpkg) and variogram "
     "(.png)"},
    {"overwrite", NULL, FOCI_SETTING_FLAG, AT(overwrite), NULL, 0, 0, false, NULL, WRITES, false,
     "replace what is there; only files of this program are replaced"},
    {"json", NULL, FOCI_SETTING_FLAG, AT(json), NULL, 0, 0, false, NULL, TALKS, false,
     "print the result as JSON on standard output"},
    {"quiet", NULL, FOCI_SETTING_FLAG, AT(quiet), NULL, 0, 0, false, NULL, TALKS, false, "no messages but errors"},
    {0},
};
_Static_assert(sizeof foci_setting_table / sizeof *foci_setting_table <= FOCI_SETTINGS_MOST, "room for every setting");

static void *member(foci_settings *settings, const foci_setting *row) {
    return (char *)settings + row->where;
}

static bool is_text(const foci_setting *row) {
    return row->kind == FOCI_SETTING_TEXT || row->kind == FOCI_SETTING_FILE || row->kind == FOCI_SETTING_DATE ||
           row->kind == FOCI_SETTING_CHOICE;
}

static const foci_setting *find(const char *name, unsigned command) {
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (strcmp(row->name, name) == 0 && (!command || (row->commands & command)))
            return row;
    return NULL;
}

static bool unknown(const char *name, unsigned command, foci_error *err) {
    const char *names[FOCI_SETTINGS_MOST] = {0};
    size_t count = 0;
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (!command || (row->commands & command))
            names[count++] = row->name;
    const char *nearest = foci_text_nearest(name, names);
    char option[300];
    snprintf(option, sizeof option, "--%.250s", name);
    if (nearest)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; did you mean --%s?", nearest);
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; --help lists what there is");
}

typedef struct {
    const char *name;
    foci_setting_kind kind;
    double factor;
} unit_row;

/* The foot is the international one (1959), the acre 43,560 square feet. */
static const unit_row units[] = {
    {"m", FOCI_SETTING_LENGTH, 1},
    {"ft", FOCI_SETTING_LENGTH, 0.3048},
    {"km", FOCI_SETTING_LENGTH, 1000},
    {"ha", FOCI_SETTING_AREA, 1},
    {"ac", FOCI_SETTING_AREA, 0.40468564224},
    {"m2", FOCI_SETTING_AREA, 0.0001},
    {0},
};

/* A number with a unit behind it, if the kind has units. */
static bool measure(const char *text, foci_setting_kind kind, double *number) {
    char digits[64];
    size_t length = strlen(text);
    for (const unit_row *unit = units; unit->name; unit++) {
        size_t tail = strlen(unit->name);
        if (unit->kind != kind || length <= tail || length >= sizeof digits ||
            !foci_text_same(text + length - tail, unit->name))
            continue;
        memcpy(digits, text, length - tail);
        digits[length - tail] = '\0';
        if (foci_number_parse(digits, number)) {
            *number *= unit->factor;
            return true;
        }
    }
    return foci_number_parse(text, number);
}

static bool set_number(double *number, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    double read = 0;
    if (!measure(text, row->kind, &read))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a number%s", text,
                         row->kind == FOCI_SETTING_LENGTH ? "; write metres, or a unit as in 12m or 40ft"
                         : row->kind == FOCI_SETTING_AREA ? "; write hectares, or a unit as in 0.5ha or 2ac"
                                                          : "; write it with a decimal point, as in 0.5");
    if (row->kind == FOCI_SETTING_WHOLE && read != floor(read))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a whole number", text);
    if (read < row->least || read > row->most || (row->above && read == row->least)) {
        if (isinf(row->most))
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s is out of range; it must be %s %g", text,
                             row->above ? "above" : "at least", row->least);
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s is out of range; it must be %s %g and at most %g", text,
                         row->above ? "above" : "at least", row->least, row->most);
    }
    *number = read;
    return true;
}

static bool is_choice(const foci_setting *row, const char *option, const char *text, foci_error *err) {
    char list[200] = "";
    for (const char *const *choice = row->choices; *choice; choice++) {
        if (strcmp(*choice, text) == 0)
            return true;
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", *choice);
    }
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not one of: %s", text, list);
}

static bool set_text(char **place, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    char date[11];
    if (row->kind == FOCI_SETTING_CHOICE && !is_choice(row, option, text, err))
        return false;
    if (row->kind == FOCI_SETTING_DATE) {
        if (!foci_date_parse(text, date))
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a date; write YYYY-MM-DD", text);
        text = date;
    }
    if (!*text)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "is empty; give it a %s or leave it out", row->metavar);
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    free(*place);
    *place = copy;
    return true;
}

static bool set_row(foci_settings *settings, const foci_setting *row, const char *text, foci_error *err) {
    char option[80];
    snprintf(option, sizeof option, "--%s", row->name);
    void *place = member(settings, row);
    switch (row->kind) {
    case FOCI_SETTING_FLAG:
        if (text)
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "takes no value");
        *(bool *)place = true;
        return true;
    case FOCI_SETTING_TEXT:
    case FOCI_SETTING_FILE:
    case FOCI_SETTING_DATE:
    case FOCI_SETTING_CHOICE:
        return set_text(place, row, option, text, err);
    default:
        return set_number(place, row, option, text, err);
    }
}

bool foci_settings_set(foci_settings *settings, const char *name, const char *text, unsigned command, foci_error *err) {
    const foci_setting *row = find(name, command);
    if (!row)
        return unknown(name, command, err);
    if (row->kind != FOCI_SETTING_FLAG && !text) {
        char option[80];
        snprintf(option, sizeof option, "--%s", row->name);
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "needs a value: --%s %s", row->name, row->metavar);
    }
    if (!set_row(settings, row, text, err))
        return false;
    settings->given[row - foci_setting_table] = true;
    return true;
}

bool foci_settings_make(foci_settings *out, foci_error *err) {
    foci_settings made = {0};
    bool ok = false;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        bool number = row->kind == FOCI_SETTING_NUMBER || row->kind == FOCI_SETTING_WHOLE ||
                      row->kind == FOCI_SETTING_LENGTH || row->kind == FOCI_SETTING_AREA;
        if (number)
            *(double *)member(&made, row) = NAN;
        if (row->standard && !set_row(&made, row, row->standard, err))
            goto done;
    }
    *out = made;
    made = (foci_settings){0};
    ok = true;
done:
    foci_settings_free(&made);
    return ok;
}

static bool add_input(foci_settings *settings, const char *word, foci_error *err) {
    size_t capacity = settings->input_count;
    if (!foci_grow_array((void **)&settings->inputs, &capacity, settings->input_count + 1, sizeof *settings->inputs,
                         err))
        return false;
    char *copy = foci_copy_text(word, err);
    if (!copy)
        return false;
    settings->inputs[settings->input_count++] = copy;
    return true;
}

/* One option; *used tells whether the next word was its value. */
static bool parse_option(foci_settings *settings, unsigned command, const char *word, const char *next, bool *used,
                         foci_error *err) {
    char name[260];
    const char *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    snprintf(name, sizeof name, "%.*s", (int)(length < 255 ? length : 255), word);
    *used = false;
    const foci_setting *row = find(name, command);
    const char *text = equals ? equals + 1 : NULL;
    if (row && row->kind != FOCI_SETTING_FLAG && !text) {
        text = next;
        *used = next != NULL;
    }
    return foci_settings_set(settings, name, text, command, err);
}

bool foci_settings_parse(foci_settings *settings, unsigned command, int count, const char *const *words,
                         foci_error *err) {
    bool options = true;
    settings->command = command;
    for (int i = 0; i < count; i++) {
        bool used = false;
        if (options && strcmp(words[i], "--") == 0) {
            options = false;
        } else if (options && strncmp(words[i], "--", 2) == 0) {
            if (!parse_option(settings, command, words[i] + 2, i + 1 < count ? words[i + 1] : NULL, &used, err))
                return false;
            i += used;
        } else if (options && words[i][0] == '-' && words[i][1]) {
            return foci_fail(err, FOCI_BAD_SETTING, words[i], 0,
                             "no such option; options have two hyphens, as in --help");
        } else if (!add_input(settings, words[i], err)) {
            return false;
        }
    }
    return !settings->job || foci_job_read(settings, settings->job, command, err);
}

bool foci_settings_copy(foci_settings *out, const foci_settings *settings, foci_error *err) {
    foci_settings made = *settings;
    bool ok = false;
    made.inputs = NULL;
    made.input_count = 0;
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (is_text(row))
            *(char **)member(&made, row) = NULL;
    for (size_t i = 0; i < settings->input_count; i++)
        if (!add_input(&made, settings->inputs[i], err))
            goto done;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        const char *text = is_text(row) ? *(char *const *)((const char *)settings + row->where) : NULL;
        if (text && !(*(char **)member(&made, row) = foci_copy_text(text, err)))
            goto done;
    }
    *out = made;
    made = (foci_settings){0};
    ok = true;
done:
    foci_settings_free(&made);
    return ok;
}

const char *foci_settings_nearest(const char *word, const char *const *words) {
    return foci_text_nearest(word, words);
}

void foci_settings_free(foci_settings *settings) {
    for (size_t i = 0; i < settings->input_count; i++)
        free(settings->inputs[i]);
    free(settings->inputs);
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (is_text(row))
            free(*(char **)member(settings, row));
    *settings = (foci_settings){0};
}
