/* SPDX-License-Identifier: BSD-3-Clause */
/* A controller of one's own in C: what a shared object must have to be run in place of the built-in controller.
 *
 *     cc -std=c99 -shared -fPIC -I include -o own_controller.so own_controller.c
 *     twintrack run STUDY --unit ./own_controller.so
 *
 * The shared object defines the four functions below (and, for sessions that are forked, twintrack_copy). One
 * controller is made for each case; several threads run several of them at once, so keep all state in what
 * twintrack_new returns. Structs begin with their size and grow only at their end: a field lies within what both sides
 * know when its offset is below `size`.
 *
 * A real throttle can hurt: simulation is no proof of safety. */
#ifndef TWINTRACK_C_CONTROLLER_H
#define TWINTRACK_C_CONTROLLER_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define TWINTRACK_C_VERSION 1u
#define TWINTRACK_TRACKS 3 /* most tracks of an assembly */
#define TWINTRACK_KNOTS 33 /* of a learned track's curve, at positions 0, 1/32, ... 1 */

/* What the range learn has found. */
typedef struct {
    uint32_t size;         /* sizeof of this struct, by the caller */
    uint32_t pedal_tracks; /* 2 or 3 */
    uint32_t throttle_tracks;
    uint32_t reserved;
    double pedal[TWINTRACK_TRACKS][TWINTRACK_KNOTS];    /* readings [share of converter full scale] */
    double throttle[TWINTRACK_TRACKS][TWINTRACK_KNOTS]; /* from the closed stop to the open one */
    double default_opening;                             /* where the unpowered blade stood [share of learned travel] */
} twintrack_learned;

/* A controller's inputs at a tick. Flags are 0 or 1. */
typedef struct {
    uint32_t size;
    uint32_t motor_permitted; /* 0: the monitor removes power from the motor */
    uint32_t key_on;
    uint32_t engine_still;
    uint32_t lowest_track; /* 1: of the pedal's tracks the lowest counts */
    uint32_t brake_applied;
    uint32_t brake_hard;
    uint32_t reserved;
    uint32_t pedal_trust[TWINTRACK_TRACKS]; /* which tracks may be used */
    uint32_t throttle_trust[TWINTRACK_TRACKS];
    double time;                    /* [s] since the controller booted */
    double pedal[TWINTRACK_TRACKS]; /* readings [share of converter full scale]; unused tracks are 0 */
    double throttle[TWINTRACK_TRACKS];
    double pedal_reference[TWINTRACK_TRACKS]; /* [V] at the reference pins of the tracks */
    double throttle_reference[TWINTRACK_TRACKS];
    double supply;        /* [V] measured */
    double motor_current; /* [A] measured by the bridge */
    double idle_opening;  /* opening that idling needs [share of travel] */
    double demand_limit;  /* the demand must not exceed it [share of travel] */
    double demand_slope;  /* [1/s] nor rise faster; 0: as fast as it likes */
    double brake;         /* reading of the brake's sensor [share of full scale] */
    double air_flow;      /* [kg/s] measured; 0 without an air meter */
} twintrack_input;

enum { TWINTRACK_DRIVE = 0, TWINTRACK_BRAKE = 1, TWINTRACK_HIGH_IMPEDANCE = 2 };

/* A controller's outputs. All of it is set to 0 (mode: high impedance) before twintrack_step is called. */
typedef struct {
    uint32_t size;
    uint32_t mode;    /* of the bridge: one of the three above */
    double duty;      /* -1 ... 1, opening positive */
    double pedal;     /* pedal position by its tracks [share of learned travel] */
    double demand;    /* opening that the pedal demands [share of learned travel] */
    double set_point; /* target of the position loop */
    double opening;   /* opening by its tracks */
} twintrack_command;

/* Returns TWINTRACK_C_VERSION as it was when the shared object was compiled. */
uint32_t twintrack_version(void);
/* A controller for one case; `learned` is NULL when nothing was learned, `period` [s] that of the ticks. NULL when it
 * cannot be made: then the reason, a text that ends with a 0 byte, is written to `error`, which holds `size` bytes. */
void *twintrack_new(const twintrack_learned *learned, double period, char *error, size_t size);
/* One tick; 0 when `command` holds the result. Anything else ends the case with that number. */
int twintrack_step(void *controller, const twintrack_input *input, twintrack_command *command);
void twintrack_delete(void *controller);
/* May be left out: a copy that continues by itself, or NULL. */
void *twintrack_copy(const void *controller);

#ifdef __cplusplus
}
#endif

#endif
