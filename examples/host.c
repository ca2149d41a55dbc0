/* SPDX-License-Identifier: BSD-3-Clause */
/* A bench stepped by a program in C: a foot by hand, a drifting pedal track, and the same once more without the fault.
 *
 *     cc -std=c99 -I include -o host examples/host.c -L build/library -ltwintrack -lstdc++ -lm -lpthread
 *     ./host                      the invented demo pair
 *     twintrack fmu STUDY --json --out bench.json && ./host bench.json
 *
 * Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle: engine
 * off, wheels chocked, hands and tools out of the bore; the blade can move by itself. */
#include <stdio.h>
#include <stdlib.h>

#include "twintrack/c/bench.h"

static void stop(const char *why) {
    fprintf(stderr, "%s\n", why);
    exit(1);
}

static void good(twintrack_bench *bench, int status) {
    if (status != 0) stop(twintrack_bench_error(bench));
}

static double get(twintrack_bench *bench, const char *name) {
    double value = 0.0;
    const int number = twintrack_bench_find(bench, name);
    if (number < 0) stop(name);
    good(bench, twintrack_bench_get(bench, (size_t)number, &value));
    return value;
}

static void set(twintrack_bench *bench, const char *name, double value) {
    const int number = twintrack_bench_find(bench, name);
    if (number < 0) stop(name);
    good(bench, twintrack_bench_set(bench, (size_t)number, value));
}

static void show(twintrack_bench *bench, const char *what) {
    const int codes = twintrack_bench_find(bench, "codes");
    printf("%-28s %.3f s: asked %.3f, blade %.3f, codes: %s\n", what, twintrack_bench_time(bench), get(bench, "asked"),
           get(bench, "blade.opening"), twintrack_bench_text(bench, (size_t)codes));
}

/* The whole file; NULL when it cannot be read. */
static char *contents(const char *path) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    long size;
    if (!file) return NULL;
    if (fseek(file, 0, SEEK_END) == 0 && (size = ftell(file)) >= 0 && (text = calloc((size_t)size + 1, 1)) != NULL) {
        rewind(file);
        if (fread(text, 1, (size_t)size, file) != (size_t)size) {
            free(text);
            text = NULL;
        }
    }
    fclose(file);
    return text;
}

int main(int count, char **arguments) {
    const twintrack_fault drift = {sizeof drift, 0, "pedal.track1", "offset", NULL, 0.1, 0.0, 0.0, 0.2};
    char error[400];
    char *json = count > 1 ? contents(arguments[1]) : NULL;
    twintrack_bench *bench, *healthy;

    if (count > 1 && !json) stop("the file cannot be read");
    bench = twintrack_bench_new(json ? json : "{\"learned\": \"fresh\"}", error, sizeof error);
    free(json);
    if (!bench) stop(error);
    good(bench, twintrack_bench_start(bench));
    set(bench, "input.pedal", 0.4);
    good(bench, twintrack_bench_step(bench, 1000));
    show(bench, "foot at 40 %");

    healthy = twintrack_bench_fork(bench);
    if (!healthy) stop(twintrack_bench_error(bench));
    good(bench, twintrack_bench_inject(bench, &drift));
    good(bench, twintrack_bench_step(bench, 1000));
    show(bench, "with a drift of track 1");
    good(healthy, twintrack_bench_step(healthy, 1000));
    show(healthy, "without");

    twintrack_bench_delete(healthy);
    twintrack_bench_delete(bench);
    return 0;
}
