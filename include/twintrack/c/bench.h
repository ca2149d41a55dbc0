/* SPDX-License-Identifier: BSD-3-Clause */
/* A bench, a plant or the built-in controller, stepped by a program in C:
 *
 *     cc -std=c99 -I include host.c -L build -ltwintrack -lstdc++ -lm -lpthread
 *
 * Everything is a variable with a number and a name: parameters (before the start), inputs, outputs. Variables are
 * numbers; flags are 0 or 1, choices count from 0. Functions that answer an int give 0 when all is well, else another
 * number, and twintrack_bench_error() says why. One bench belongs to one thread at a time.
 *
 * A real throttle can hurt: simulation is no proof of safety. */
#ifndef TWINTRACK_C_BENCH_H
#define TWINTRACK_C_BENCH_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define TWINTRACK_BENCH_VERSION 1u

typedef struct twintrack_bench twintrack_bench;
typedef struct twintrack_saved twintrack_saved;

enum { TWINTRACK_NUMBER = 0, TWINTRACK_INTEGER = 1, TWINTRACK_FLAG = 2, TWINTRACK_TEXT = 3, TWINTRACK_CHOICE = 4 };
enum { TWINTRACK_PARAMETER = 0, TWINTRACK_TUNABLE = 1, TWINTRACK_INPUT = 2, TWINTRACK_OUTPUT = 3 };

/* The texts live as long as the bench. */
typedef struct {
    uint32_t size; /* sizeof of this struct, by the caller; a field beyond it is left alone */
    uint32_t kind; /* what it is: TWINTRACK_NUMBER … */
    uint32_t role; /* when it may be set: TWINTRACK_PARAMETER before the start; TUNABLE and INPUT always; OUTPUT never */
    uint32_t choices; /* how many, of a choice; twintrack_bench_choice() names them */
    const char *name;
    const char *unit; /* SI text, "" without dimension */
    const char *meaning;
    double least, most; /* allowed; infinite where nothing is said */
} twintrack_variable;

/* A fault; texts that are NULL count as "". */
typedef struct {
    uint32_t size; /* sizeof of this struct, by the caller */
    uint32_t reserved;
    const char *where; /* "pedal.track1", a terminal, … */
    const char *what;  /* "offset", "open", … */
    const char *other; /* the other terminal of a wiring fault between two */
    double amount;     /* in the unit of the catalogue */
    double start;      /* [s] since key-on; before now: at the next tick */
    double end;        /* [s]; 0: it stays */
    double ramp;       /* [s] over which it builds up */
} twintrack_fault;

/* Returns TWINTRACK_BENCH_VERSION as it was when the library was compiled. */
uint32_t twintrack_bench_version(void);
/* `json` as twintrack/external/document.hpp has it, and as "twintrack fmu STUDY --json" writes it; "{}" is a bench of
 * invented parts that has learned nothing. NULL when it is refused: then the reason is written to `error` (`size`
 * bytes). */
twintrack_bench *twintrack_bench_new(const char *json, char *error, size_t size);
void twintrack_bench_delete(twintrack_bench *bench);
/* Why the last call that failed did; "" before. Lives until the next call. */
const char *twintrack_bench_error(const twintrack_bench *bench);

size_t twintrack_bench_count(const twintrack_bench *bench);
/* Number of a variable; -1 when there is none of that name. */
int twintrack_bench_find(const twintrack_bench *bench, const char *name);
int twintrack_bench_variable(twintrack_bench *bench, size_t index, twintrack_variable *variable);
/* NULL when there is none. */
const char *twintrack_bench_choice(const twintrack_bench *bench, size_t index, size_t choice);
int twintrack_bench_get(twintrack_bench *bench, size_t index, double *value);
int twintrack_bench_set(twintrack_bench *bench, size_t index, double value);
/* The text lives until the next call; NULL when it is no text. */
const char *twintrack_bench_text(twintrack_bench *bench, size_t index);
int twintrack_bench_set_text(twintrack_bench *bench, size_t index, const char *value);

/* Takes the parameters, runs the range learn if "learned" asks for it, and makes the tick at 0. */
int twintrack_bench_start(twintrack_bench *bench);
/* So many control periods further, each with the tick at its end. */
int twintrack_bench_step(twintrack_bench *bench, size_t ticks);
double twintrack_bench_time(const twintrack_bench *bench);   /* [s] of the last tick */
double twintrack_bench_period(const twintrack_bench *bench); /* [s] */

int twintrack_bench_inject(twintrack_bench *bench, const twintrack_fault *fault);
int twintrack_bench_remove(twintrack_bench *bench, const char *where, const char *what);

/* All that it is now, to be restored as often as one likes; NULL without memory. */
twintrack_saved *twintrack_bench_save(twintrack_bench *bench);
int twintrack_bench_restore(twintrack_bench *bench, const twintrack_saved *saved);
void twintrack_saved_delete(twintrack_saved *saved);
/* A second bench that goes on from here by itself with the same bits; NULL when there is none. */
twintrack_bench *twintrack_bench_fork(twintrack_bench *bench);

#ifdef __cplusplus
}
#endif

#endif
