/* Economics: what treating the zones, the whole field or nothing is expected to bring. Money is in any one currency,
 * and every number of it is the user's: none is built in. */
#ifndef FIELDFOCI_ECONOMICS_H
#define FIELDFOCI_ECONOMICS_H

#include "fieldfoci/zones.h"

typedef struct {
    double cost; /* of treating, per hectare: product and pass */
    double loss; /* that treating avoids where the threshold is passed, per hectare; where it is not, none */
} foci_economics_options;

/* Neither is known: NaN. */
FOCI_API foci_economics_options foci_economics_options_make(void);

/* One choice. */
typedef struct {
    double treated_ha;
    double net;       /* expected loss avoided - cost, money */
    double net_share; /* net per hectare of the field */
} foci_economics_choice;

typedef struct {
    foci_economics_choice zones, whole, nothing;
    double least_chance; /* from which treating pays: cost / loss */
} foci_economics;

/* Net of treating an area = sum of area x (chance x loss - cost), so for a zone: its area x (its mean chance x loss -
 * cost). Treating nothing brings 0. NaN where the zones have no chances. FOCI_BAD_SETTING where cost is negative, loss
 * is not above 0, or either is not a number. */
FOCI_API bool foci_economics_expect(foci_economics *out, const foci_zones *zones, const foci_economics_options *options,
                                    foci_error *err) FOCI_MUST_CHECK;

/* A crop whose yield falls in a straight line with the severity of its disease, and never below nothing. */
typedef struct {
    double value;    /* of the crop without the disease, per hectare: price x yield */
    double share;    /* of the yield that each unit of severity takes, 0 to 1 */
    double efficacy; /* share of the coming loss that treating avoids, 0 to 1 */
} foci_economics_crop;

/* Loss that treating avoids at this severity, per hectare: value x min(1, share x severity) x efficacy. */
FOCI_API double foci_economics_loss(const foci_economics_crop *crop, double severity);

/* The economic threshold: severity at which that loss equals `cost` per hectare; infinity where no severity reaches it.
 * C / (P Y L E), the economic injury level of Pedigo, Hutchins and Higley (1986) from memory. */
FOCI_API double foci_economics_threshold(const foci_economics_crop *crop, double cost);

#endif
