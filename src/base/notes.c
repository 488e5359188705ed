#include "fieldfoci/notes.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

static bool make_room(foci_notes *notes, size_t more, foci_error *err) {
    size_t capacity = notes->count;
    return foci_grow_array((void **)&notes->items, &capacity, notes->count + more, sizeof *notes->items, err);
}

bool foci_notes_add(foci_notes *notes, foci_error *err, const char *format, ...) {
    char text[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    for (size_t i = 0; i < notes->count; i++)
        if (strcmp(notes->items[i], text) == 0)
            return true;
    char *copy = make_room(notes, 1, err) ? foci_copy_text(text, err) : NULL;
    if (copy)
        notes->items[notes->count++] = copy;
    return copy != NULL;
}

bool foci_notes_move(foci_notes *notes, foci_notes *from, foci_error *err) {
    if (from->count && !make_room(notes, from->count, err))
        return false;
    for (size_t i = 0; i < from->count; i++)
        notes->items[notes->count++] = from->items[i];
    free(from->items);
    *from = (foci_notes){0};
    return true;
}

void foci_notes_free(foci_notes *notes) {
    for (size_t i = 0; i < notes->count; i++)
        free(notes->items[i]);
    free(notes->items);
    *notes = (foci_notes){0};
}
