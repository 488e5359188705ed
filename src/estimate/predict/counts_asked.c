/* A fitted counts model asked: of few stops jointly, of more by windows. */
#include "estimate/predict/counts_model.h"
#include "estimate/predict/counts_windows.h"

bool foci_counts_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                         const foci_counts_prediction *out, const foci_execution *how, foci_error *err) {
    if (model->stops.count > FOCI_COUNTS_JOINT)
        return foci_counts_windows_predict(model, places, count, threshold, out, how, err);
    return foci_counts_predict_jointly(model, places, count, threshold, out, how, err);
}

bool foci_counts_left_out(const foci_counts_model *model, const foci_counts_left_out_result *out,
                          const foci_execution *how, foci_error *err) {
    if (model->stops.count > FOCI_COUNTS_JOINT)
        return foci_counts_windows_left_out(model, out, how, err);
    return foci_counts_left_out_jointly(model, NULL, NULL, out, how, err);
}
