#include "fieldfoci/walk.h"

#include "base/random.h"
#include "support/support.h"

enum { MOST = 96 };

static void scatter(foci_point *places, size_t count, uint64_t seed) {
    foci_random draws = foci_random_stream(seed, count);
    for (size_t i = 0; i < count; i++) {
        places[i].x = 512000 + 500 * foci_random_share(&draws);
        places[i].y = 4205000 + 400 * foci_random_share(&draws);
    }
}

static double apart(foci_point a, foci_point b) {
    return hypot(a.x - b.x, a.y - b.y);
}

/* The plain way to the shortest walk: every order, given up where it is already longer than the best, even if each
 * place left were reached by the shortest way there is to it. */
typedef struct {
    const foci_point *places;
    size_t count;
    const foci_walk_options *options;
    bool used[MOST];
    double nearest[MOST]; /* shortest way to each place */
    size_t first;
    double best;
} search;

static void try_orders(search *s, size_t visited, size_t last, double length) {
    double least = length;
    for (size_t i = 0; i < s->count && visited > 0; i++)
        least += s->used[i] ? 0 : s->nearest[i];
    if (least >= s->best)
        return;
    if (visited == s->count) {
        foci_point end = s->options->start ? *s->options->start : s->places[s->first];
        if (!s->options->open)
            length += apart(s->places[last], end);
        s->best = fmin(s->best, length);
        return;
    }
    for (size_t next = 0; next < s->count; next++) {
        if (s->used[next])
            continue;
        double way = visited > 0         ? apart(s->places[last], s->places[next])
                     : s->options->start ? apart(*s->options->start, s->places[next])
                                         : 0;
        s->first = visited > 0 ? s->first : next;
        s->used[next] = true;
        try_orders(s, visited + 1, next, length + way);
        s->used[next] = false;
    }
}

/* `known`: some walk is as short as that. */
static double shortest(const foci_point *places, size_t count, const foci_walk_options *options, double known) {
    search s = {.places = places, .count = count, .options = options, .best = known + 1e-6};
    for (size_t i = 0; i < count; i++) {
        s.nearest[i] = count > 1 ? INFINITY : 0;
        for (size_t j = 0; j < count; j++)
            s.nearest[i] = i == j ? s.nearest[i] : fmin(s.nearest[i], apart(places[i], places[j]));
    }
    try_orders(&s, 0, 0, 0);
    return s.best;
}

static void assert_each_once(const foci_walk *walk, size_t count) {
    bool seen[MOST] = {false};
    assert_int_equal(walk->count, count);
    for (size_t i = 0; i < count; i++) {
        assert_true(walk->order[i] < count);
        assert_false(seen[walk->order[i]]);
        seen[walk->order[i]] = true;
    }
}

static foci_walk found(const foci_point *places, size_t count, const foci_walk_options *options) {
    foci_error err = {0};
    foci_walk walk = {0};
    assert_done(foci_walk_find(&walk, places, count, options, &err), err);
    assert_each_once(&walk, count);
    assert_near(walk.length, foci_walk_length(walk.order, places, count, options), 0);
    return walk;
}

static const foci_point gate = {512020.5, 4205410.25};

static const foci_walk_options kinds[] = {
    {NULL, false}, {NULL, true}, {.start = &gate, .open = false}, {.start = &gate, .open = true}};

static void test_exact_up_to_twelve(void **unused) {
    (void)unused;
    for (size_t kind = 0; kind < 4; kind++)
        for (size_t count = 1; count <= FOCI_WALK_EXACT; count++)
            for (uint64_t seed = 0; seed < (count < 10 ? 20 : 2); seed++) {
                foci_point places[MOST];
                scatter(places, count, 31 + seed);
                foci_walk walk = found(places, count, &kinds[kind]);
                assert_true(walk.exact);
                assert_near(walk.length, shortest(places, count, &kinds[kind], walk.length), 1e-8);
                foci_walk_free(&walk);
            }
}

/* Just above the limit the other method is at work: nearly all are the shortest. */
static void test_thirteen_are_nearly_always_the_shortest(void **unused) {
    (void)unused;
    for (size_t kind = 0; kind < 4; kind++) {
        int same = 0;
        for (uint64_t seed = 0; seed < 6; seed++) {
            foci_point places[MOST];
            scatter(places, 13, 771 + seed);
            foci_walk walk = found(places, 13, &kinds[kind]);
            double best = shortest(places, 13, &kinds[kind], walk.length);
            assert_false(walk.exact);
            assert_true(walk.length >= best - 1e-8);
            assert_true(walk.length <= 1.03 * best);
            same += walk.length <= best + 1e-8;
            foci_walk_free(&walk);
        }
        assert_true(same >= 5);
    }
}

/* The least tree over places 1 and later, with the two shortest ways of place 0, each way from i to j made longer by
 * penalty[i] + penalty[j]: no closed walk is shorter than its length less twice the penalties. `degree` gets the ways
 * at each place. */
static double least_one_tree(const foci_point *places, size_t n, const double *penalty, int *degree) {
    bool in[MOST] = {false};
    double key[MOST], first = INFINITY, second = INFINITY, length = 0;
    size_t from[MOST] = {0}, nearest = 0, next_nearest = 0;
    for (size_t i = 0; i < n; i++) {
        key[i] = i == 1 ? 0 : INFINITY;
        degree[i] = 0;
        length -= 2 * penalty[i];
    }
    for (size_t k = 1; k < n; k++) {
        size_t best = 0;
        for (size_t j = 1; j < n; j++)
            if (!in[j] && (best == 0 || key[j] < key[best]))
                best = j;
        in[best] = true;
        length += key[best];
        if (k > 1) {
            degree[best]++;
            degree[from[best]]++;
        }
        for (size_t j = 1; j < n; j++) {
            double way = apart(places[best], places[j]) + penalty[best] + penalty[j];
            if (!in[j] && way < key[j]) {
                key[j] = way;
                from[j] = best;
            }
        }
    }
    for (size_t j = 1; j < n; j++) {
        double way = apart(places[0], places[j]) + penalty[0] + penalty[j];
        if (way < first) {
            second = first;
            next_nearest = nearest;
            first = way;
            nearest = j;
        } else if (way < second) {
            second = way;
            next_nearest = j;
        }
    }
    degree[0] = 2;
    degree[nearest]++;
    degree[next_nearest]++;
    return length + first + second;
}

/* Held & Karp 1970 (Operations Research 18:1138-1162): penalties raised where a place has more than two ways. */
static double lower_bound(const foci_point *places, size_t n, double upper) {
    double penalty[MOST] = {0}, best = 0, pace = 2;
    for (int step = 0; step < 1000; step++) {
        int degree[MOST];
        double bound = least_one_tree(places, n, penalty, degree), squares = 0;
        best = fmax(best, bound);
        for (size_t i = 0; i < n; i++)
            squares += (degree[i] - 2) * (degree[i] - 2);
        if (squares == 0)
            break;
        if (step % 40 == 39)
            pace *= 0.8;
        for (size_t i = 0; i < n; i++)
            penalty[i] += pace * (upper - bound) / squares * (degree[i] - 2);
    }
    return best;
}

/* The bound is one: it never passes the shortest walk, and is near it. */
static void test_lower_bound_is_one(void **unused) {
    (void)unused;
    for (uint64_t seed = 0; seed < 10; seed++) {
        foci_point places[MOST];
        scatter(places, 9, 90 + seed);
        double best = shortest(places, 9, &kinds[0], INFINITY), bound = lower_bound(places, 9, best);
        assert_true(bound <= best + 1e-8);
        assert_true(bound >= 0.97 * best);
    }
}

/* 40 cases of 80 places: within 3 % of the lower bound in the mean. */
static void test_eighty_places(void **unused) {
    (void)unused;
    double sum = 0, worst = 0;
    for (uint64_t seed = 0; seed < 40; seed++) {
        foci_point places[MOST];
        scatter(places, 80, 1000 + seed);
        foci_walk walk = found(places, 80, &kinds[0]);
        assert_false(walk.exact);
        double excess = walk.length / lower_bound(places, 80, walk.length) - 1;
        assert_true(excess >= -1e-12);
        sum += excess;
        worst = fmax(worst, excess);
        foci_walk_free(&walk);
    }
    print_message("80 places: %.2f %% above the lower bound in the mean, %.2f %% at most\n", 100 * sum / 40,
                  100 * worst);
    assert_true(sum / 40 < 0.03);
}

/* With a start that is one of the places, a closed walk is as long as without. */
static void test_start_at_a_place_changes_nothing(void **unused) {
    (void)unused;
    foci_point places[MOST];
    scatter(places, 11, 5);
    const foci_walk_options at_place = {.start = &places[3]};
    foci_walk with = found(places, 11, &at_place), without = found(places, 11, &kinds[0]);
    assert_near(with.length, without.length, 1e-8);
    assert_int_equal(without.order[0], 0);
    foci_walk_free(&with);
    foci_walk_free(&without);
}

static void test_an_open_walk_goes_on(void **unused) {
    (void)unused;
    foci_point line[20];
    for (size_t i = 0; i < 20; i++)
        line[i] = (foci_point){3.5 * (double)((i * 7) % 20), 2};
    const foci_point before = {-10, 2};
    const foci_walk_options open = {.start = &before, .open = true}, free_start = {NULL, true};
    foci_walk walk = found(line, 20, &open);
    for (size_t i = 0; i < 20; i++)
        assert_int_equal((walk.order[i] * 7) % 20, i);
    assert_near(walk.length, 10 + 3.5 * 19, 1e-9);
    foci_walk_free(&walk);
    walk = found(line, 20, &free_start);
    assert_near(walk.length, 3.5 * 19, 1e-9);
    foci_walk_free(&walk);
}

static void test_the_nearer_end_comes_first(void **unused) {
    (void)unused;
    const foci_point square[] = {{0, 30}, {40, 30}, {40, 0}}, corner = {3, 0};
    const foci_walk_options options = {.start = &corner};
    foci_walk walk = found(square, 3, &options);
    assert_int_equal(walk.order[0], 0); /* 30.1 away; the other end is 37 */
    assert_int_equal(walk.order[2], 2);
    foci_walk_free(&walk);
}

static void test_few_and_equal_places(void **unused) {
    (void)unused;
    foci_point places[30];
    for (size_t i = 0; i < 30; i++)
        places[i] = (foci_point){512100, 4205100};
    for (size_t kind = 0; kind < 4; kind++) {
        foci_walk walk = found(places, 0, &kinds[kind]);
        assert_near(walk.length, 0, 0);
        foci_walk_free(&walk);
        const size_t counts[] = {1, 2, 9, 30};
        for (size_t k = 0; k < 4; k++) {
            walk = found(places, counts[k], &kinds[kind]);
            double way = kinds[kind].start ? apart(gate, places[0]) : 0;
            assert_near(walk.length, kinds[kind].open ? way : 2 * way, 1e-9);
            foci_walk_free(&walk);
            foci_walk_free(&walk);
        }
    }
}

static size_t attempted;

static bool attempt(foci_error *err) {
    foci_point places[MOST];
    foci_walk walk = {0};
    scatter(places, attempted, 3);
    if (!foci_walk_find(&walk, places, attempted, &kinds[2], err)) {
        assert_null(walk.order);
        return false;
    }
    foci_walk_free(&walk);
    return true;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    attempted = 6;
    support_fail_each_allocation(attempt);
    attempted = 17;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_exact_up_to_twelve),
        cmocka_unit_test(test_thirteen_are_nearly_always_the_shortest),
        cmocka_unit_test(test_lower_bound_is_one),
        cmocka_unit_test(test_eighty_places),
        cmocka_unit_test(test_start_at_a_place_changes_nothing),
        cmocka_unit_test(test_an_open_walk_goes_on),
        cmocka_unit_test(test_the_nearer_end_comes_first),
        cmocka_unit_test(test_few_and_equal_places),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
