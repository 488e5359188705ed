#include "decide/zones/lanes.h"

#include <stdlib.h>

#include "base/memory.h"
#include "decide/zones/lanes_runs.h"

/* ---- the decision, lane by lane ---- */

/* One lane at work: steps from ... to - 1 of its column are in the field, or between what is. */
typedef struct {
    const foci_lanes *lanes;
    size_t lane, from, to;
    double *value;     /* per step */
    bool *treat, *dig; /* per step */
} lane_work;

static const foci_lane_step *step_at(const lane_work *work, size_t row) {
    return &work->lanes->steps[row * work->lanes->lattice.columns + work->lane];
}

/* False where the lane does not meet the field. */
static bool find_reach(lane_work *work) {
    const size_t rows = work->lanes->lattice.rows, least = work->lanes->least;
    work->from = 0;
    work->to = rows;
    while (work->from < rows && step_at(work, work->from)->area <= 0)
        work->from++;
    if (work->from == rows)
        return false;
    while (step_at(work, work->to - 1)->area <= 0)
        work->to--;
    if (work->to - work->from < least) {
        work->to = work->from + least < rows ? work->from + least : rows;
        work->from = work->to - least;
    }
    return true;
}

static bool decide_digs(lane_work *work, foci_error *err) {
    for (size_t row = work->from; row < work->to; row++)
        work->value[row] = step_at(work, row)->dig;
    for (size_t row = work->from, end; row < work->to; row = end) {
        end = row + 1;
        while (end < work->to && work->treat[end] == work->treat[row])
            end++;
        if (!work->treat[row] &&
            !foci_lanes_runs(work->dig + row, work->value + row, end - row, work->lanes->least, err))
            return false;
    }
    return true;
}

static bool decide_lane(lane_work *work, foci_error *err) {
    for (size_t row = work->from; row < work->to; row++)
        work->value[row] = step_at(work, row)->treat;
    return foci_lanes_runs(work->treat + work->from, work->value + work->from, work->to - work->from,
                           work->lanes->least, err) &&
           decide_digs(work, err);
}

static void code_lane(signed char *code, const lane_work *work) {
    for (size_t row = 0; row < work->lanes->lattice.rows; row++) {
        size_t nearest = row < work->from ? work->from : row >= work->to ? work->to - 1 : row;
        code[row * work->lanes->lattice.columns + work->lane] = work->treat[nearest] ? FOCI_ZONE_TREAT
                                                                : work->dig[nearest] ? FOCI_ZONE_DIG
                                                                                     : FOCI_ZONE_LEAVE;
    }
}

bool foci_lanes_decide(foci_lanes *lanes, foci_error *err) {
    lane_work work = {.lanes = lanes};
    bool ok = false;
    work.value = foci_new_array(lanes->lattice.rows, sizeof *work.value, err);
    if (!work.value)
        goto done;
    work.treat = foci_new_array(lanes->lattice.rows, sizeof *work.treat, err);
    if (!work.treat)
        goto done;
    work.dig = foci_new_array(lanes->lattice.rows, sizeof *work.dig, err);
    if (!work.dig)
        goto done;
    for (work.lane = 0; work.lane < lanes->lattice.columns; work.lane++) {
        if (!find_reach(&work))
            continue; /* nothing there to be coded: it stays 'leave' */
        if (!decide_lane(&work, err))
            goto done;
        code_lane(lanes->code, &work);
    }
    ok = true;
done:
    free(work.value);
    free(work.treat);
    free(work.dig);
    return ok;
}

/* ---- what it comes to ---- */

static void report_step(foci_zones_lanes *report, const foci_lane_step *step, bool treated) {
    report->wanted_ha += step->wanted;
    report->wanted += step->wanted_severity;
    if (treated) {
        report->treated_ha += step->area;
        report->extra_ha += step->area - step->wanted;
        report->extra += step->severity - step->wanted_severity;
    } else {
        report->missed_ha += step->wanted;
        report->missed += step->wanted_severity;
    }
}

static void report_lane(foci_zones_lanes *report, const foci_lanes *lanes, size_t lane) {
    bool meets = false, was_treated = false, was_worth = false;
    for (size_t row = 0; row < lanes->lattice.rows; row++) {
        size_t index = row * lanes->lattice.columns + lane;
        const foci_lane_step *step = &lanes->steps[index];
        bool treated = lanes->code[index] == FOCI_ZONE_TREAT;
        if (step->area <= 0)
            continue;
        report_step(report, step, treated);
        report->runs += treated && !was_treated;
        report->switches += meets && treated != was_treated;
        report->unheld += meets && (step->treat >= 0) != was_worth;
        meets = true;
        was_treated = treated;
        was_worth = step->treat >= 0;
    }
    report->lanes += meets;
}

foci_zones_lanes foci_lanes_report(const foci_lanes *lanes, double scale) {
    foci_zones_lanes report = {0};
    for (size_t lane = 0; lane < lanes->lattice.columns; lane++)
        report_lane(&report, lanes, lane);
    double *const areas[] = {&report.wanted_ha, &report.treated_ha, &report.missed_ha, &report.extra_ha,
                             &report.wanted,    &report.missed,     &report.extra};
    for (size_t i = 0; i < sizeof areas / sizeof *areas; i++)
        *areas[i] *= scale / 1e4;
    return report;
}
