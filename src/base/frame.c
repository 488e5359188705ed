#include "base/frame.h"

#include <math.h>

foci_frame foci_frame_make(const foci_point *places, size_t count, double heading) {
    const double turn = isnan(heading) ? 0 : heading * FOCI_DEGREE;
    foci_frame frame = {.east = sin(turn), .north = cos(turn)};
    for (size_t i = 0; i < count; i++) {
        frame.origin.x += places[i].x / (double)count;
        frame.origin.y += places[i].y / (double)count;
    }
    return frame;
}

foci_point foci_frame_place(const foci_frame *frame, foci_point place) {
    const double x = place.x - frame->origin.x, y = place.y - frame->origin.y;
    return (foci_point){x * frame->east + y * frame->north, x * frame->north - y * frame->east};
}

void foci_frame_turn(const foci_frame *frame, const foci_point *places, size_t count, double *along, double *across) {
    for (size_t i = 0; i < count; i++) {
        const foci_point turned = foci_frame_place(frame, places[i]);
        along[i] = turned.x;
        across[i] = turned.y;
    }
}
