#include "fieldfoci/photo.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/files/photo_file.h"
#include "data/places/projection.h"
#include "fieldfoci/words.h"

#define PLACES 200    /* along the longer side, at which the ground is looked for */
#define ROUND_IT 0.06 /* the strip round the ground, of its longer side */

double foci_photo_gray(uint32_t color) {
    return 0.299 * (color >> 16 & 0xFF) + 0.587 * (color >> 8 & 0xFF) + 0.114 * (color & 0xFF);
}

static double mean_gray(const foci_photo *photo) {
    double sum = 0, count = 0;
    for (size_t i = 0; i < photo->columns * photo->rows; i++) {
        if (photo->dots[i] >> 24 != 255)
            continue;
        sum += foci_photo_gray(photo->dots[i]);
        count++;
    }
    return sum / count;
}

/* Of the ground, by a square mesh of places; so many of them that a corner of a field counts. */
static double share_shown(const foci_photo *photo, const foci_multipolygon *ground) {
    const foci_box box = foci_multipolygon_box(ground);
    const double step = fmax(box.east - box.west, box.north - box.south) / PLACES;
    double inside = 0, shown = 0;
    uint32_t color = 0;
    for (int row = 0; row < PLACES; row++)
        for (int column = 0; column < PLACES; column++) {
            const foci_point place = {box.west + (column + 0.5) * step, box.south + (row + 0.5) * step};
            if (!foci_multipolygon_contains(ground, place))
                continue;
            inside++;
            shown += foci_photo_at(&color, photo, place);
        }
    return inside > 0 ? shown / inside : 0;
}

foci_photo_options foci_photo_options_make(void) {
    return (foci_photo_options){0};
}

bool foci_photo_read(foci_photo *out, const char *file, const foci_multipolygon *ground, const char *work_crs,
                     const foci_photo_options *options, foci_error *err) {
    foci_crs_facts facts;
    foci_photo photo = {0};
    foci_box box = foci_multipolygon_box(ground);
    const double strip = ROUND_IT * fmax(box.east - box.west, box.north - box.south);
    if (options->crs && !foci_crs_describe(&facts, options->crs, "{crs}", err))
        return false;
    box = (foci_box){box.west - strip, box.south - strip, box.east + strip, box.north + strip};
    if (!foci_photo_file_read(&photo, file, box, work_crs, options->crs, err))
        return false;
    photo.share = share_shown(&photo, ground);
    bool ok = photo.share > 0 ||
              foci_fail(err, FOCI_BAD_INPUT, file, 0,
                        "does not show the field; is it another field's photo, or is its system not {crs}?");
    if (ok && options->credit) {
        free(photo.credit);
        ok = (photo.credit = foci_copy_text(options->credit, err)) != NULL;
    }
    if (!ok) {
        foci_photo_free(&photo);
        return false;
    }
    foci_words_one_line(photo.credit);
    photo.lightness = mean_gray(&photo);
    *out = photo;
    return true;
}

bool foci_photo_at(uint32_t *color, const foci_photo *photo, foci_point place) {
    if (!photo->dots)
        return false;
    const double column = floor((place.x - photo->west) / photo->dot),
                 row = floor((photo->north - place.y) / photo->dot);
    if (!(column >= 0 && row >= 0 && column < (double)photo->columns && row < (double)photo->rows))
        return false;
    const uint32_t dot = photo->dots[(size_t)row * photo->columns + (size_t)column];
    *color = dot & 0xFFFFFF;
    return dot >> 24 == 255;
}

void foci_photo_free(foci_photo *photo) {
    free(photo->dots);
    free(photo->credit);
    *photo = (foci_photo){0};
}
