#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <fieldfoci/fieldfoci.h>

#include "desk/page_files.h"
#include "desk/rooms.h"

static desk_answer serve_page_file(const char *name) {
    for (const desk_page_file *file = desk_page_files; file->name; file++)
        if (strcmp(file->name, name) == 0)
            return desk_answer_fixed(file->type, file->text, file->size);
    return desk_answer_say(404, "there is no such page");
}

desk_answer desk_serve_page(desk_state *desk, desk_request *request) {
    (void)desk;
    (void)request;
    return serve_page_file("index.html");
}

desk_answer desk_serve_asset(desk_state *desk, desk_request *request) {
    (void)desk;
    return serve_page_file(request->parts[0]);
}

/* Browsers ask for it by this name where a page names none, as reports and letters do. */
desk_answer desk_serve_mark(desk_state *desk, desk_request *request) {
    (void)desk;
    (void)request;
    return serve_page_file("mark.svg");
}

desk_answer desk_serve_state(desk_state *desk, desk_request *request) {
    (void)request;
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fprintf(writer.out, "{\"version\":\"%s\",\"folder\":", FOCI_VERSION);
        desk_put_text(writer.out, desk->folder.path);
        for (int shelf = 0; shelf < DESK_SHELVES; shelf++) {
            fprintf(writer.out, ",\"%s\":", desk_shelf_name((desk_shelf)shelf));
            desk_folder_list(&desk->folder, (desk_shelf)shelf, NULL, writer.out);
        }
        fputs(",\"jobs\":", writer.out);
        desk_jobs_list(&desk->jobs, writer.out);
        putc('}', writer.out);
    }
    return desk_writer_end(&writer, 200);
}

/* ---- the catalog of settings ---- */

static void put_number(FILE *out, const char *name, double number) {
    if (isfinite(number))
        fprintf(out, ",\"%s\":%.17g", name, number);
}

static void put_setting(FILE *out, const foci_setting *row) {
    fputs("{\"name\":", out);
    desk_put_text(out, row->name);
    fprintf(out, ",\"kind\":\"%s\",\"help\":", row->kind->name);
    desk_put_text(out, row->help);
    if (row->standard) {
        fputs(",\"standard\":", out);
        desk_put_text(out, row->standard);
    }
    put_number(out, "least", row->least);
    put_number(out, "most", row->most);
    if (foci_setting_choice(row, 0)) {
        fputs(",\"choices\":[", out);
        for (size_t i = 0; foci_setting_choice(row, i); i++) {
            if (i)
                putc(',', out);
            desk_put_text(out, foci_setting_choice(row, i));
        }
        putc(']', out);
    }
    putc('}', out);
}

desk_answer desk_serve_settings(desk_state *desk, desk_request *request) {
    (void)desk;
    (void)request;
    const char *between = "";
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        putc('[', writer.out);
    for (const foci_setting *row = foci_setting_table; writer.out && row->name; row++) {
        if (!row->in_job || !(row->commands & FOCI_FOR_MAP))
            continue;
        fputs(between, writer.out);
        put_setting(writer.out, row);
        between = ",";
    }
    if (writer.out)
        putc(']', writer.out);
    return desk_writer_end(&writer, 200);
}

/* ---- the diseases ---- */

static bool is_built_in(const char *name) {
    for (size_t i = 0; foci_profile_name(i); i++)
        if (strcmp(foci_profile_name(i), name) == 0)
            return true;
    return false;
}

desk_answer desk_serve_profile(desk_state *desk, desk_request *request) {
    foci_error err = {0};
    foci_profile profile = {0};
    (void)desk;
    if (!is_built_in(request->parts[0]))
        return desk_answer_say(404, "there is no such disease profile");
    char *text = foci_profile_read(&profile, request->parts[0], &err) ? foci_profile_summary(&profile, &err) : NULL;
    foci_profile_free(&profile);
    if (!text)
        return desk_answer_error(&err);
    desk_answer answer = desk_answer_make();
    answer.type = "application/json; charset=utf-8";
    answer.text = text;
    answer.size = strlen(text);
    return answer;
}

desk_answer desk_serve_profiles(desk_state *desk, desk_request *request) {
    const char *between = "";
    (void)desk;
    (void)request;
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        putc('[', writer.out);
    for (size_t i = 0; writer.out && foci_profile_name(i); i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        if (foci_profile_read(&profile, foci_profile_name(i), &err)) {
            fprintf(writer.out, "%s{\"name\":", between);
            desk_put_text(writer.out, profile.name);
            fputs(",\"title\":", writer.out);
            desk_put_text(writer.out, profile.title);
            putc('}', writer.out);
            between = ",";
        }
        foci_profile_free(&profile);
    }
    if (writer.out)
        putc(']', writer.out);
    return desk_writer_end(&writer, 200);
}

/* ---- windows, and the end ---- */

desk_answer desk_serve_window(desk_state *desk, desk_request *request) {
    char key[DESK_KEY_SIZE];
    foci_error err = {0};
    (void)request;
    if (!desk_gate_new_key(&desk->gate, key, &err))
        return desk_answer_error(&err);
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out)
        fprintf(writer.out, "{\"address\":\"http://127.0.0.1:%u/?key=%s\"}", desk->gate.port, key);
    return desk_writer_end(&writer, 200);
}

desk_answer desk_serve_stop(desk_state *desk, desk_request *request) {
    (void)request;
    desk->stops = true;
    return desk_answer_say(200, "the desk is closed");
}
