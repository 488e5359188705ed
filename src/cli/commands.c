/* The table of commands: one row each, read by the program and by the pages. */
#include "commands.h"

const cli_command cli_commands[] = {
    {"plan", FOCI_FOR_PLAN, "--field FIELD --stops N --out FILE", "where to walk",
     "Lays stops over a field in a short walk, says how well they tell the field's average and which patches they "
     "find, "
     "and writes them as a form to fill in (.csv), points (.geojson), waypoints "
     "(.gpx) or a field sheet to write on (.pdf). The filled form is what map reads.",
     command_plan},
    {"map", FOCI_FOR_MAP, "STOPS... --field FIELD --threshold X --out SURVEY",
     "from scouting stops to a survey folder: surface, hotspots, zones, picture",
     "Reads the stops and the field's boundary, estimates severity between the stops with its uncertainty, finds the "
     "hotspots, cuts the field into zones to treat, to dig in and look first, and to leave, and writes a folder with "
     "survey.json, survey.gpkg, GeoTIFFs and map.png.",
     command_map},
    {"check", FOCI_FOR_CHECK, "STOPS... --field FIELD", "is this input fit to map?",
     "Reads as map does and prints every stop as it was read, those that would not be used and why, the highest and "
     "the "
     "lowest, means by day and by rater, and the findings; --out FILE.png draws the stops as dots.",
     command_check},
    {"look", FOCI_FOR_LOOK, "FILE", "what does this file hold?",
     "Tells a file's layers, its columns with their ranges, its first rows, where its points or its outline lie, and "
     "what the columns may be, each guess with its reason. No other command goes by a guess: type the options.",
     command_look},
    {"estimate", FOCI_FOR_ESTIMATE, "STOPS... --at PLACES --out FILE", "what does the surface say at these places?",
     "Estimates at the points of PLACES and writes their columns with estimate, variance and chance. --cross-check "
     "without --at writes leave-one-out results per stop.",
     command_estimate},
    {"variogram", FOCI_FOR_VARIOGRAM, "STOPS... --value COLUMN", "how does severity vary with distance?",
     "Prints the empirical semivariances and the fitted model; with --out FILE.png draws them.", command_variogram},
    {"pattern", FOCI_FOR_PATTERN, "STOPS... --value COLUMN", "is the disease patchy?",
     "Tells aggregation and autocorrelation of the readings and whether they are patchy; with --out FILE writes the "
     "local "
     "tests per stop.",
     command_pattern},
    {"task", FOCI_FOR_TASK, "SURVEY --treat RATE --unit UNIT --product TEXT --out DIR",
     "files for a sprayer's controller",
     "Gives the zones of a survey the rates that you state and writes them as ISO 11783-10 task data, shapefile or "
     "GeoJSON, with a README.txt. Zones of rate 0 are written too. Rates are yours, from the label; the program "
     "proposes "
     "none. Check the zones on the controller's screen before driving.",
     command_task},
    {"record", FOCI_FOR_RECORD, "SURVEY... --history HISTORY", "keep a survey in the field's history",
     "Adds survey folders to a history: fields, surveys with their jobs, stops, zones and dig-checks, and the notes "
     "that "
     "--crop and --laboratory give. The same survey twice is one entry; another map of the same season is refused, or "
     "takes "
     "its place with --replace. Surfaces are not kept: stops and job make them again.",
     command_record},
    {"history", FOCI_FOR_HISTORY, "HISTORY", "which surveys are remembered?",
     "Lists the surveys of a history by field and date; with --field-name those of one field. With --remove it takes "
     "one "
     "survey out.",
     command_history},
    {"seasons", FOCI_FOR_SEASONS, "SURVEY SURVEY... --out DIR", "do hotspots come back in the same places?",
     "Reads two or more survey folders of one field together, oldest first (or, with --history, the surveys of a field "
     "by date, all of them or those that --only names), and writes a "
     "folder "
     "with seasons.json, persistence.tif, classes.tif, persistence.gpkg, persistence.png and .pdf, and report.html: "
     "where hotspots came back, are new or gone, in hectares with their uncertainty, held against what chance would "
     "give.",
     command_seasons},
    {"desk", FOCI_FOR_DESK, "[FOLDER]", "the whole job in a page on this machine",
     "Serves a page to this machine alone and opens it, or prints its address. What it makes lies in FOLDER (else "
     "fieldfoci in your home) as plain files that the other commands read. Ctrl-C ends it.",
     command_desk},
    {"profiles", FOCI_FOR_PROFILES, "[NAME]", "the disease profiles, and what each says",
     "Lists the built-in disease profiles; with a name or a file, all that the profile says, each fact with its "
     "source.",
     command_profiles},
    {0},
};

const char *cli_command_nearest(const char *word) {
    const char *names[sizeof cli_commands / sizeof *cli_commands] = {0};
    for (size_t i = 0; cli_commands[i].name; i++)
        names[i] = cli_commands[i].name;
    return foci_settings_nearest(word, names);
}
