/* The steps of planning, which share this. */
#ifndef FOCI_RUN_PLAN_WORK_H
#define FOCI_RUN_PLAN_WORK_H

#include "decide/plan/season_knowledge.h"
#include "fieldfoci/persistence.h"
#include "fieldfoci/planning.h"

enum { FOCI_PLAN_EARLIER_MOST = FOCI_SEASONS_MOST - 1 };

typedef struct {
    const foci_settings *settings; /* borrowed */
    const foci_execution *how;
    foci_plan plan;
    double heading;   /* of the rows, from grid north; NaN where not stated */
    double threshold; /* reading's unit; NaN where none */
    size_t count;     /* of the earlier surveys, oldest first */
    foci_survey surveys[FOCI_PLAN_EARLIER_MOST];
    char *names[FOCI_PLAN_EARLIER_MOST];
    size_t current;                 /* the last one of the season that is planned for; FOCI_OPEN: none is */
    foci_season_knowledge *seasons; /* NULL: none are read together; owned */
    foci_layout_knowledge knowledge;
    bool known;
} foci_plan_work;

void foci_plan_work_free(foci_plan_work *work);

/* Field, disease, labels and earlier surveys. */
bool foci_plan_read(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* What is written down at each stop. */
bool foci_plan_choose_reading(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* Fits what the earlier surveys say to the field to come: `knowledge`. */
bool foci_plan_learn(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* The mean and the aggregation that are expected. */
bool foci_plan_expect(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* The stops that the options ask for, or that the mean needs; FOCI_OPEN: those that a patch needs. */
bool foci_plan_count(size_t *stops, const foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* The places: `stops` of them, or as many as find the patch. */
bool foci_plan_lay(foci_plan_work *work, size_t stops, foci_error *err) FOCI_MUST_CHECK;

/* The dig-checks of a survey as places. */
bool foci_plan_take_digs(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

/* Names of the stops, and why each is there. */
bool foci_plan_name(foci_plan_work *work, foci_error *err) FOCI_MUST_CHECK;

#endif
