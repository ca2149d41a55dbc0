/* SPDX-License-Identifier: BSD-3-Clause */
/* A controller of one's own in C: PID on the first tracks, with the second ones as a check.
 *
 *     cc -std=c99 -shared -fPIC -I include -o own_controller.so examples/own_controller.c
 *     twintrack run examples/pairing.toml --unit ./own_controller.so --out results
 *
 * Invented, to show the interface; knee-shaped tracks are not for it, since it reads them as straight lines.
 *
 * Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle: engine
 * off, wheels chocked, hands and tools out of the bore; the blade can move by itself. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "twintrack/c/controller.h"

/* Of the loop [1, 1/s, s], of the filter of the derivative [s], and limits. */
static const double kp = 3.2, ki = 25.0, kd = 0.055, filter_time = 0.004;
static const double most_duty = 0.95, most_integral = 0.8;
/* What the foot asks of the blade at rest and at full, as the bench's own pedal map has it [share of travel]. */
static const double at_rest = 0.02, at_full = 0.97;
/* Tracks of one assembly that differ by more than this share of travel for longer than this time [s]. */
static const double most_apart = 0.10, apart_time = 0.08;

typedef struct {
    double pedal[2][2], throttle[2][2]; /* readings at the ends */
    double period, integral, derivative, last_opening, pedal_apart, throttle_apart;
    int running, stopped;
} controller;

static double clamp(double x, double least, double most) { return x < least ? least : x > most ? most : x; }

static double position(double reading, const double ends[2]) { return (reading - ends[0]) / (ends[1] - ends[0]); }

uint32_t twintrack_version(void) { return TWINTRACK_C_VERSION; }

void *twintrack_new(const twintrack_learned *learned, double period, char *error, size_t size) {
    controller *c;
    int k;
    if (!learned) {
        snprintf(error, size, "this controller needs a learned range");
        return NULL;
    }
    c = calloc(1, sizeof *c);
    if (!c) {
        snprintf(error, size, "no memory");
        return NULL;
    }
    for (k = 0; k < 2; ++k) {
        c->pedal[k][0] = learned->pedal[k][0];
        c->pedal[k][1] = learned->pedal[k][TWINTRACK_KNOTS - 1];
        c->throttle[k][0] = learned->throttle[k][0];
        c->throttle[k][1] = learned->throttle[k][TWINTRACK_KNOTS - 1];
    }
    c->period = period;
    return c;
}

/* How long two tracks have disagreed [s]. */
static double disagreement(double lasted, double period, double first, double second) {
    const double apart = first > second ? first - second : second - first;
    return apart > most_apart ? lasted + period : 0.0;
}

int twintrack_step(void *self, const twintrack_input *in, twintrack_command *out) {
    controller *c = self;
    const double pedal = position(in->pedal[0], c->pedal[0]);
    const double opening = position(in->throttle[0], c->throttle[0]);
    const double asked = at_rest + (at_full - at_rest) * clamp(pedal, 0.0, 1.0);
    const double demand = clamp(asked, in->idle_opening, in->demand_limit);
    double error, speed, duty;

    c->pedal_apart = disagreement(c->pedal_apart, c->period, pedal, position(in->pedal[1], c->pedal[1]));
    c->throttle_apart = disagreement(c->throttle_apart, c->period, opening, position(in->throttle[1], c->throttle[1]));
    if (c->pedal_apart > apart_time || c->throttle_apart > apart_time) c->stopped = 1;

    out->pedal = pedal, out->opening = opening, out->demand = out->set_point = demand;
    if (!in->motor_permitted || !in->key_on || c->stopped) {
        c->running = 0;
        return 0; /* high impedance: the springs take the blade home */
    }
    if (!c->running) c->integral = c->derivative = 0.0, c->last_opening = opening, c->running = 1;
    error = demand - opening;
    speed = (opening - c->last_opening) / c->period;
    c->derivative += (speed - c->derivative) * c->period / (filter_time + c->period);
    c->last_opening = opening;
    duty = kp * error + c->integral - kd * c->derivative;
    if ((duty < most_duty || error < 0.0) && (duty > -most_duty || error > 0.0)) /* no wind-up at the limits */
        c->integral = clamp(c->integral + ki * error * c->period, -most_integral, most_integral);
    out->mode = TWINTRACK_DRIVE;
    out->duty = clamp(duty, -most_duty, most_duty);
    return 0;
}

void twintrack_delete(void *self) { free(self); }

void *twintrack_copy(const void *self) {
    controller *c = malloc(sizeof *c);
    if (c) memcpy(c, self, sizeof *c);
    return c;
}
