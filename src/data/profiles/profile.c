#include "fieldfoci/profile.h"

#include "data/files/built_in.h"
#include "data/profiles/profile_file.h"

bool foci_profile_read(foci_profile *out, const char *name_or_file, foci_error *err) {
    static const foci_built_in_words words = {"profile", "{disease}",
                                              "fieldfoci profiles lists those that are built in"};
    foci_json *json = NULL;
    bool ok = foci_built_in_read(&json, foci_built_in_profiles, &words, name_or_file, err) &&
              foci_profile_of_json(out, json, name_or_file, err);
    foci_json_free(json);
    return ok;
}

const char *foci_profile_name(size_t index) {
    return foci_built_in_name(foci_built_in_profiles, index);
}
