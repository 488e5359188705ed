/* The table of contents: every public header, in the order of the work.
 *
 * What holds for all of them. A call that can fail returns bool (or a text, NULL where it failed): false leaves `*out`
 * untouched unless it says otherwise, and `err` says why; any may fail with FOCI_NO_MEMORY, those that take a
 * foci_execution with FOCI_STOPPED. `const` arguments are borrowed, for the call alone unless it says longer. A struct
 * owns what it points to but where a member says otherwise; its foci_<noun>_free frees that and zeroes it, and may be
 * called on {0} and twice. Places are x east, y north: meters of the projected work system, or where it says lonlat
 * degrees of WGS84. NaN stands for 'no number'. Calls on different structs may run at the same time; there is no global
 * state but GDAL's and PROJ's. */
#ifndef FIELDFOCI_H
#define FIELDFOCI_H

/* What everything rests on. */
#include "fieldfoci/error.h"
#include "fieldfoci/estimate.h"
#include "fieldfoci/execution.h"
#include "fieldfoci/geometry.h"
#include "fieldfoci/plain_number.h"
#include "fieldfoci/secrets.h"
#include "fieldfoci/unfinished.h"

/* What was found, and where. */
#include "fieldfoci/dates.h"
#include "fieldfoci/notes.h"
#include "fieldfoci/rating.h"
#include "fieldfoci/ordinal.h"
#include "fieldfoci/stops.h"
#include "fieldfoci/field.h"
#include "fieldfoci/profile.h"
#include "fieldfoci/checks.h"
#include "fieldfoci/first_look.h"
#include "fieldfoci/grid.h"
#include "fieldfoci/marks.h"
#include "fieldfoci/photo.h"

/* What is estimated, and how sure that is. */
#include "fieldfoci/correlation.h"
#include "fieldfoci/variogram.h"
#include "fieldfoci/surface.h"
#include "fieldfoci/cross_validation.h"

/* What to do about it. */
#include "fieldfoci/pattern.h"
#include "fieldfoci/gaps.h"
#include "fieldfoci/hotspots.h"
#include "fieldfoci/zones.h"
#include "fieldfoci/economics.h"
#include "fieldfoci/dig_points.h"
#include "fieldfoci/walk.h"

/* All of it side by side, and how it was asked for. */
#include "fieldfoci/survey.h"

/* Where to look next. */
#include "fieldfoci/sample_size.h"
#include "fieldfoci/layout.h"
#include "fieldfoci/plan.h"

/* Do the hotspots come back? */
#include "fieldfoci/agreement.h"
#include "fieldfoci/persistence.h"
#include "fieldfoci/seasons.h"

/* What is kept of it. */
#include "fieldfoci/summary.h"
#include "fieldfoci/history.h"

/* What people get. */
#include "fieldfoci/export.h"
#include "fieldfoci/paper.h"
#include "fieldfoci/words.h"
#include "fieldfoci/map.h"
#include "fieldfoci/page.h"
#include "fieldfoci/task.h"
#include "fieldfoci/plan_form.h"

/* All choices, and the whole run. */
#include "fieldfoci/settings.h"
#include "fieldfoci/steps.h"
#include "fieldfoci/comparison.h"
#include "fieldfoci/planning.h"
#include "fieldfoci/look.h"

#endif
