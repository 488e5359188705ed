#include "desk/http.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/select.h>
#include <sys/socket.h>
#include <unistd.h>

/* Connections at once, seconds that one may say nothing, and bytes of head that each may send. */
enum { CONNECTIONS_MOST = 120, SECONDS_SILENT = 20, HEAD_MOST = 32768 };

struct desk_http {
    struct MHD_Daemon *daemon;
    const desk_http_calls *calls;
};

const char *desk_request_header(const desk_request *request, const char *name) {
    return MHD_lookup_connection_value(request->connection, MHD_HEADER_KIND, name);
}

const char *desk_request_argument(const desk_request *request, const char *name) {
    return MHD_lookup_connection_value(request->connection, MHD_GET_ARGUMENT_KIND, name);
}

/* ---- answering ---- */

static struct MHD_Response *make_response(desk_answer *answer) {
    struct MHD_Response *response = NULL;
    if (answer->file >= 0) {
        response = MHD_create_response_from_fd64(answer->file_size, answer->file);
        if (response)
            answer->file = -1;
    } else if (answer->text) {
        response = MHD_create_response_from_buffer(answer->size, answer->text, MHD_RESPMEM_MUST_FREE);
        if (response)
            answer->text = NULL;
    } else {
        /* The library takes what it does not change as changeable. */
        response = MHD_create_response_from_buffer(answer->size, (void *)(size_t)answer->fixed, MHD_RESPMEM_PERSISTENT);
    }
    return response;
}

static bool add_headers(struct MHD_Response *response, const desk_answer *answer) {
    char save[160];
    snprintf(save, sizeof save, "attachment; filename=\"%s\"", answer->save_as);
    const struct {
        const char *name, *value;
    } headers[] = {
        {"Content-Type", answer->type ? answer->type : "text/plain; charset=utf-8"},
        {"Content-Security-Policy",
         answer->policy ? answer->policy
                        : "default-src 'self'; img-src 'self' blob: data:; frame-ancestors 'none'; base-uri 'none'; "
                          "form-action 'self'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cache-Control", "no-store"},
        {"Set-Cookie", answer->cookie},
        {"ETag", answer->tag},
        {"Content-Disposition", *answer->save_as ? save : ""},
    };
    for (size_t i = 0; i < sizeof headers / sizeof *headers; i++)
        if (*headers[i].value && MHD_add_response_header(response, headers[i].name, headers[i].value) != MHD_YES)
            return false;
    return true;
}

static enum MHD_Result send_answer(struct MHD_Connection *connection, desk_answer *answer) {
    struct MHD_Response *response = make_response(answer);
    enum MHD_Result result = MHD_NO;
    if (response && add_headers(response, answer))
        result = MHD_queue_response(connection, answer->status, response);
    if (response)
        MHD_destroy_response(response);
    desk_answer_free(answer);
    return result;
}

/* ---- receiving ---- */

static bool take_into_memory(desk_request *request, const char *bytes, size_t size) {
    if (request->size + size + 1 > request->room) {
        const size_t room = 2 * (request->size + size + 1);
        char *more = realloc(request->bytes, room);
        if (!more)
            return false;
        request->bytes = more;
        request->room = room;
    }
    memcpy(request->bytes + request->size, bytes, size);
    request->bytes[request->size + size] = '\0';
    return true;
}

static bool take_into_file(const desk_request *request, const char *bytes, size_t size) {
    while (size > 0) {
        const ssize_t wrote = write(request->body.file, bytes, size);
        if (wrote < 0 && errno == EINTR)
            continue;
        if (wrote <= 0)
            return false;
        bytes += wrote;
        size -= (size_t)wrote;
    }
    return true;
}

static void take(desk_request *request, const char *bytes, size_t size) {
    if (request->too_much || request->failed)
        return;
    if (size > request->body.most - request->size) {
        request->too_much = true;
        return;
    }
    if (request->body.file >= 0 ? !take_into_file(request, bytes, size) : !take_into_memory(request, bytes, size))
        request->failed = true;
    else
        request->size += size;
}

static enum MHD_Result on_request(void *context, struct MHD_Connection *connection, const char *path,
                                  const char *method, const char *version, const char *bytes, size_t *size,
                                  void **place) {
    const desk_http *http = context;
    desk_request *request = *place;
    (void)version;
    if (!request) {
        if (!(request = calloc(1, sizeof *request)))
            return MHD_NO;
        *place = request;
        request->connection = connection;
        request->owner = http->calls->owner;
        request->body.file = -1;
        snprintf(request->method, sizeof request->method, "%s", method);
        desk_answer refusal = desk_answer_make();
        if (http->calls->judge(request, path, &refusal))
            return MHD_YES;
        request->answered = true;
        return send_answer(connection, &refusal);
    }
    if (*size > 0) {
        take(request, bytes, *size);
        *size = 0;
        return MHD_YES;
    }
    if (request->answered)
        return MHD_YES;
    request->answered = true;
    desk_answer answer = http->calls->serve(request);
    return send_answer(connection, &answer);
}

static void on_end(void *context, struct MHD_Connection *connection, void **place,
                   enum MHD_RequestTerminationCode how) {
    const desk_http *http = context;
    desk_request *request = *place;
    (void)connection;
    (void)how;
    if (!request)
        return;
    http->calls->end(request);
    free(request->bytes);
    free(request);
    *place = NULL;
}

/* What the library says of malformed requests is of no use to the desk's user. */
static void on_log(void *context, const char *format, va_list arguments) {
    (void)context;
    (void)format;
    (void)arguments;
}

/* ---- running ---- */

desk_http *desk_http_start(unsigned *port, const desk_http_calls *calls, foci_error *err) {
    struct sockaddr_in here = {.sin_family = AF_INET, .sin_port = htons((uint16_t)*port)};
    here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    desk_http *http = calloc(1, sizeof *http);
    if (!http) {
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
        return NULL;
    }
    http->calls = calls;
    http->daemon =
        MHD_start_daemon(MHD_USE_ERROR_LOG, (uint16_t)*port, NULL, NULL, on_request, http, MHD_OPTION_EXTERNAL_LOGGER,
                         on_log, NULL, MHD_OPTION_SOCK_ADDR, (struct sockaddr *)&here, MHD_OPTION_NOTIFY_COMPLETED,
                         on_end, http, MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MOST,
                         MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)SECONDS_SILENT, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
                         (size_t)HEAD_MOST, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
    const union MHD_DaemonInfo *bound =
        http->daemon ? MHD_get_daemon_info(http->daemon, MHD_DAEMON_INFO_BIND_PORT) : NULL;
    if (!bound) {
        foci_fail(err, FOCI_BAD_SETTING, "{port}", 0, "nothing can be served at 127.0.0.1:%u (%s); name another port",
                  *port, strerror(errno));
        desk_http_stop(http);
        return NULL;
    }
    *port = bound->port;
    return http;
}

bool desk_http_serve(desk_http *http) {
    return MHD_run(http->daemon) == MHD_YES;
}

bool desk_http_wait(desk_http *http, const sigset_t *while_waiting, double seconds) {
    fd_set reads, writes, faults;
    MHD_socket most = 0;
    MHD_UNSIGNED_LONG_LONG milliseconds = 0;
    FD_ZERO(&reads);
    FD_ZERO(&writes);
    FD_ZERO(&faults);
    if (MHD_get_fdset(http->daemon, &reads, &writes, &faults, &most) != MHD_YES)
        return false;
    if (MHD_get_timeout(http->daemon, &milliseconds) == MHD_YES && (double)milliseconds / 1000 < seconds)
        seconds = (double)milliseconds / 1000;
    const struct timespec time = {.tv_sec = (time_t)seconds,
                                  .tv_nsec = (long)((seconds - (double)(time_t)seconds) * 1e9)};
    return pselect(most + 1, &reads, &writes, &faults, &time, while_waiting) >= 0 || errno == EINTR;
}

void desk_http_stop(desk_http *http) {
    if (!http)
        return;
    if (http->daemon)
        MHD_stop_daemon(http->daemon);
    free(http);
}
