#include "desk/answer.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define JSON "application/json; charset=utf-8"

desk_answer desk_answer_make(void) {
    return (desk_answer){.status = 200, .file = -1};
}

void desk_answer_free(desk_answer *answer) {
    free(answer->text);
    if (answer->file >= 0)
        close(answer->file);
    *answer = desk_answer_make();
}

desk_answer desk_answer_fixed(const char *type, const char *text, size_t size) {
    desk_answer answer = desk_answer_make();
    answer.type = type;
    answer.fixed = text;
    answer.size = size;
    return answer;
}

desk_answer desk_answer_file(const char *type, int file) {
    struct stat about;
    if (fstat(file, &about) != 0 || !S_ISREG(about.st_mode)) {
        close(file);
        return desk_answer_say(404, "there is no such file");
    }
    desk_answer answer = desk_answer_make();
    answer.type = type;
    answer.file = file;
    answer.file_size = (size_t)about.st_size;
    return answer;
}

/* ---- JSON ---- */

void desk_writer_begin(desk_writer *writer) {
    *writer = (desk_writer){0};
    writer->out = open_memstream(&writer->text, &writer->size);
}

desk_answer desk_writer_end(desk_writer *writer, unsigned status) {
    static const char poor[] = "{\"text\":\"there is not enough memory for this\"}";
    const bool whole = writer->out && !ferror(writer->out);
    if (!writer->out || fclose(writer->out) != 0 || !whole) {
        free(writer->text);
        desk_answer answer = desk_answer_fixed(JSON, poor, sizeof poor - 1);
        answer.status = 500;
        return answer;
    }
    desk_answer answer = desk_answer_make();
    answer.status = status;
    answer.type = JSON;
    answer.text = writer->text;
    answer.size = writer->size;
    return answer;
}

/* Bytes of the well-formed character that `at` begins; 0 where it is none (Unicode 15, table 3-7). */
static size_t character(const unsigned char *at, size_t left) {
    static const struct {
        unsigned char least, most, next_least, next_most;
        size_t bytes;
    } forms[] = {{0x00, 0x7F, 0, 0, 1},       {0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3},
                 {0xE1, 0xEC, 0x80, 0xBF, 3}, {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3},
                 {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4}};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (at[0] < forms[i].least || at[0] > forms[i].most)
            continue;
        if (forms[i].bytes > left)
            return 0;
        if (forms[i].bytes > 1 && (at[1] < forms[i].next_least || at[1] > forms[i].next_most))
            return 0;
        for (size_t k = 2; k < forms[i].bytes; k++)
            if (at[k] < 0x80 || at[k] > 0xBF)
                return 0;
        return forms[i].bytes;
    }
    return 0;
}

void desk_put_bytes(FILE *out, const char *bytes, size_t size) {
    const unsigned char *at = (const unsigned char *)bytes;
    putc('"', out);
    while (size > 0) {
        size_t step = character(at, size);
        if (step == 0) {
            fputs("\\ufffd", out);
            step = 1;
        } else if (*at < 0x20 || *at == '"' || *at == '\\' || *at == '<' || *at == 0x7F) {
            fprintf(out, "\\u%04x", *at);
        } else {
            fwrite(at, 1, step, out);
        }
        at += step;
        size -= step;
    }
    putc('"', out);
}

void desk_put_text(FILE *out, const char *text) {
    desk_put_bytes(out, text, strlen(text));
}

/* ---- refusals ---- */

desk_answer desk_answer_say(unsigned status, const char *text) {
    desk_writer writer;
    desk_writer_begin(&writer);
    if (writer.out) {
        fputs("{\"text\":", writer.out);
        desk_put_text(writer.out, text);
        putc('}', writer.out);
    }
    return desk_writer_end(&writer, status);
}

desk_answer desk_answer_error(const foci_error *err) {
    const unsigned status = err->status == FOCI_NO_MEMORY || err->status == FOCI_NO_FILE ? 500 : 422;
    char text[sizeof err->text];
    desk_writer writer;
    desk_writer_begin(&writer);
    foci_error_text(err, "", text, sizeof text);
    if (writer.out) {
        fputs("{\"key\":", writer.out);
        desk_put_text(writer.out, err->key);
        fputs(",\"file\":", writer.out);
        desk_put_text(writer.out, err->source);
        fprintf(writer.out, ",\"row\":%ld,\"text\":", err->row);
        desk_put_text(writer.out, text);
        putc('}', writer.out);
    }
    return desk_writer_end(&writer, status);
}
