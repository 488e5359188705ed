#include "desk/desk.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fieldfoci/page.h>

#include "desk/rooms.h"

/* Bytes beyond what is taken that are still listened to. */
#define TOLERATED (16ULL << 20)

static volatile sig_atomic_t told_to_end;

static void on_end_signal(int number) {
    (void)number;
    told_to_end = 1;
}

/* It only has to interrupt the waiting. */
static void on_child_signal(int number) {
    (void)number;
}

/* They stay blocked but while the desk waits, so that none is missed between looking and waiting. */
static void catch_signals(sigset_t *while_waiting) {
    static const int ends[] = {SIGINT, SIGTERM, SIGHUP};
    struct sigaction end = {.sa_handler = on_end_signal}, child = {.sa_handler = on_child_signal};
    sigset_t blocked;
    sigemptyset(&blocked);
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        (void)sigaction(ends[i], &end, NULL);
        sigaddset(&blocked, ends[i]);
    }
    (void)sigaction(SIGCHLD, &child, NULL);
    (void)signal(SIGPIPE, SIG_IGN);
    sigaddset(&blocked, SIGCHLD);
    (void)sigprocmask(SIG_BLOCK, &blocked, while_waiting);
    told_to_end = 0;
}

/* ---- requests ---- */

/* Who comes in: by a key once, else by the cookie. */
static bool come_in(desk_state *desk, desk_request *request, const char *path, desk_answer *answer) {
    const bool changes = strcmp(request->method, "GET") != 0 && strcmp(request->method, "HEAD") != 0;
    const unsigned refused =
        desk_gate_host(&desk->gate, desk_request_header(request, "Host"), desk_request_header(request, "Origin"),
                       desk_request_header(request, "Sec-Fetch-Site"), changes);
    if (refused) {
        *answer = desk_answer_say(refused, "this desk is for its own page only");
        return false;
    }
    if (!changes && strcmp(path, "/") == 0 && desk_gate_use_key(&desk->gate, desk_request_argument(request, "key"))) {
        static const char on[] =
            "<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><title>fieldfoci</title>"
            "<meta http-equiv=\"refresh\" content=\"0;url=/\"><p><a href=\"/\">To the desk</a></p>";
        *answer = desk_answer_fixed("text/html; charset=utf-8", on, sizeof on - 1);
        desk_gate_cookie(&desk->gate, answer->cookie, sizeof answer->cookie);
        return false;
    }
    if (desk_gate_knows(&desk->gate, desk_request_header(request, "Cookie")))
        return true;
    *answer =
        desk_answer_say(403, "this address has been used already; open a new window from the desk's page, or start "
                             "the desk again");
    return false;
}

static bool begin_file(desk_state *desk, desk_request *request, const desk_route *route, desk_answer *answer) {
    const char *entry = route->place.in_entry ? request->parts[0] : NULL;
    char temporary[DESK_NAME_SIZE];
    foci_error err = {0};
    if (entry && !desk_folder_has(&desk->folder, route->place.shelf, entry, true)) {
        *answer = desk_answer_say(404, "there is no such visit");
        return false;
    }
    request->body.file = desk_folder_begin(&desk->folder, route->place.shelf, entry, temporary, &err);
    if (request->body.file < 0) {
        *answer = desk_answer_error(&err);
        return false;
    }
    snprintf(request->temporary, sizeof request->temporary, "%s", temporary);
    return true;
}

static bool judge(desk_request *request, const char *path, desk_answer *answer) {
    desk_state *desk = request->owner;
    unsigned status = 0;
    if (!come_in(desk, request, path, answer))
        return false;
    const desk_route *route = desk_route_find(request, path, &status);
    if (!route) {
        *answer = desk_answer_say(status, status == 405 ? "this cannot be done with it" : "there is no such page");
        return false;
    }
    /* A little too much is read and thrown away, so that a browser hears the answer: it listens only when it has sent
     * all. */
    const char *length = desk_request_header(request, "Content-Length");
    if (length && strtoull(length, NULL, 10) > route->most + TOLERATED) {
        *answer = desk_answer_say(413, "this is larger than the desk takes");
        return false;
    }
    request->route = route;
    request->body.most = route->most;
    return !route->place.wanted || begin_file(desk, request, route, answer);
}

static desk_answer serve(desk_request *request) {
    const desk_route *route = request->route;
    if (request->too_much)
        return desk_answer_say(413, "this is larger than the desk takes");
    if (request->failed)
        return desk_answer_say(507, "it could not be kept; is the disk full?");
    return route->serve(request->owner, request);
}

static void end(desk_request *request) {
    desk_state *desk = request->owner;
    const desk_route *route = request->route;
    if (request->body.file >= 0)
        desk_folder_drop(&desk->folder, route->place.shelf, route->place.in_entry ? request->parts[0] : NULL,
                         request->body.file, request->temporary);
}

/* ---- running ---- */

/* Where there is a screen, the page is opened on it; where not, the address is printed anyway. */
static void open_browser(const char *address) {
    if (!getenv("DISPLAY") && !getenv("WAYLAND_DISPLAY"))
        return;
    const pid_t child = fork();
    if (child != 0)
        return;
    sigset_t none;
    sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    const int nothing = open("/dev/null", O_RDWR);
    if (nothing >= 0) {
        (void)dup2(nothing, STDIN_FILENO);
        (void)dup2(nothing, STDOUT_FILENO);
        (void)dup2(nothing, STDERR_FILENO);
    }
    (void)setsid();
    execlp("xdg-open", "xdg-open", address, (char *)NULL);
    _exit(127);
}

static bool open_door(desk_state *desk, const desk_options *options, unsigned port, foci_error *err) {
    char key[DESK_KEY_SIZE], address[80];
    if (!desk_gate_make(&desk->gate, port, err) || !desk_gate_new_key(&desk->gate, key, err))
        return false;
    snprintf(address, sizeof address, "http://127.0.0.1:%u/?key=%s", port, key);
    if (options->tell)
        options->tell(options->context, address);
    if (!options->no_browser)
        open_browser(address);
    return true;
}

/* Reports and letters are made from what users wrote: shown in the page's own frame, they reach nothing of the desk. */
static bool make_report_policy(desk_state *desk, foci_error *err) {
    char *own = foci_page_policy(err);
    const bool ok =
        own && asprintf(&desk->report_policy, "sandbox allow-scripts; frame-ancestors 'self'; %s", own) >= 0;
    if (!ok)
        desk->report_policy = NULL;
    free(own);
    return ok || (err->status == FOCI_OK && foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory"));
}

bool desk_run(const desk_options *options, foci_error *err) {
    desk_state *desk = calloc(1, sizeof *desk);
    unsigned port = options->port;
    desk_http *http = NULL;
    sigset_t while_waiting;
    if (!desk)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    const desk_http_calls calls = {.owner = desk, .judge = judge, .serve = serve, .end = end};
    const mode_t before = umask(077);
    bool ok = desk_folder_open(&desk->folder, options->folder, err) && make_report_policy(desk, err);
    if (!ok)
        goto done;
    catch_signals(&while_waiting);
    http = desk_http_start(&port, &calls, err);
    ok = http && open_door(desk, options, port, err);
    /* The answer to the page that ends it goes out yet. */
    for (int left = 10; ok && !told_to_end && left > 0; left -= desk->stops) {
        ok = (desk_http_serve(http) && desk_http_wait(http, &while_waiting, desk->stops ? 0.05 : 60)) ||
             foci_fail(err, FOCI_NO_FILE, NULL, 0, "the desk cannot serve any more: %s", strerror(errno));
        desk_jobs_look(&desk->jobs);
    }
    desk_jobs_end(&desk->jobs);
done:
    desk_http_stop(http);
    desk_folder_close(&desk->folder);
    free(desk->report_policy);
    (void)umask(before);
    free(desk);
    return ok;
}
