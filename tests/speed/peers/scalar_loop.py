# SPDX-License-Identifier: BSD-3-Clause
"""The closed loop of one bench, run after run, as one writes it for Numba (loop_numbers.py)."""

from __future__ import annotations

import math
from collections import namedtuple

import numpy as np

STEPS = 5
CURRENT, ANGLE, W, Z, W_OLD, DUTY, DRIVES, SUPPLY = range(8)  # of the body and the bridge
# Of the control:
OFF, RUNNING, SHARE, ENTRY, FIRST, SECOND, OPENING, INTEGRAL, DERIV, E_OLD, TOTAL = range(11)


def make_sense(p, jit):
    def sense(x, filtered, reads, travel, k):
        truth = (x[ANGLE] - p.closed) / (p.open - p.closed)
        for j in range(4):
            share = p.rest_ratio[j] + p.span_ratio[j] * min(max(travel if j < 2 else truth, 0.0), 1.0)
            volts = 5.0 * min(max(share + p.noise * np.random.standard_normal(), 0.0), 1.0)
            filtered[j] = volts + (filtered[j] - volts) * p.filter_decay if k else volts
            reads[j] = min(max(np.rint(filtered[j] / 5.0 * 4095.0), 0.0), 4095.0) / 4095.0
        x[SUPPLY] = p.supply - p.supply_resistance * x[DUTY] * x[CURRENT]
        return truth

    return jit(sense)


def make_watch(p, jit):
    def watch(x, c, reads, count):
        for j in range(4):
            count[2 * j] = count[2 * j] + 1 if reads[j] < 0.04 else 0
            count[2 * j + 1] = count[2 * j + 1] + 1 if reads[j] > 0.96 else 0
        for pair in range(2):
            a, b = 2 * pair, 2 * pair + 1
            place = (reads[a] - p.learned_rest[a]) / p.learned_span[a]
            away = abs(reads[b] - p.learned_rest[b] - place * p.learned_span[b]) / abs(p.learned_span[b])
            count[8 + pair] = count[8 + pair] + 1 if away > 0.1 else 0
        count[10] = count[10] + 1 if x[DRIVES] and abs(c[SECOND] - c[OPENING]) > 0.1 else 0
        for j in range(11):
            if count[j] > (1001 if j == 10 else 101):
                c[OFF] = 1.0

    return jit(watch)


def make_spring(p, jit):
    def spring(x):
        if x > 0.0:
            return -p.open_preload * min(x / p.width, 1.0) - p.open_rate * x
        return p.close_preload * min(-x / p.width, 1.0) - p.close_rate * x

    return jit(spring)


def make_control(p, jit, spring):
    travel = p.open - p.closed

    def feed(y, speed):
        torque = p.coulomb * speed / (abs(speed) + 0.05) + p.viscous * speed
        torque -= spring(p.closed + y * travel - p.learned_default)
        return p.resistance * torque / p.k + p.k * speed

    feed = jit(feed)

    def control(x, c, reads, k, truth):
        pedal = (reads[0] - p.learned_rest[0]) / p.learned_span[0]
        c[OPENING] = (reads[2] - p.learned_rest[2]) / p.learned_span[2]
        demand = 0.02 + 0.95 * max(pedal - 0.03, 0.0) / 0.97 if pedal < 1.0 else 0.97
        x[DUTY], x[DRIVES] = 0.0, 1.0 if c[OFF] == 0.0 and k >= 150 else 0.0
        if x[DRIVES] == 0.0:
            c[RUNNING] = 0.0
            return
        if c[RUNNING] == 0.0:
            c[RUNNING], c[SHARE], c[DERIV] = 1.0, 0.0, 0.0
            c[ENTRY] = c[FIRST] = c[SECOND] = min(max(c[OPENING], 0.0), 1.0)
            c[E_OLD] = (c[SECOND] - c[OPENING]) * travel
            c[INTEGRAL] = -feed(c[SECOND], 0.0) - p.kp * c[E_OLD]
        c[SHARE] = min(c[SHARE] + 0.01, 1.0)
        goal, before = p.twitch if k < 230 else demand, c[SECOND]
        c[FIRST] += p.alpha * (c[ENTRY] + c[SHARE] * (goal - c[ENTRY]) - c[FIRST])
        c[SECOND] += p.alpha * (c[FIRST] - c[SECOND])
        e = (c[SECOND] - c[OPENING]) * travel
        c[DERIV] = p.d_old * c[DERIV] + p.d_new * (e - c[E_OLD])
        wanted = p.kp * e + c[INTEGRAL] + c[DERIV] + feed(c[SECOND], (c[SECOND] - before) * travel / 1e-3)
        u = min(max(wanted, -0.95 * x[SUPPLY]), 0.95 * x[SUPPLY])
        band = min(max(e, -p.dead_band), p.dead_band)
        c[INTEGRAL] += p.ki_step * (e - band) + p.tracking * (u - wanted)
        c[E_OLD] = e
        x[DUTY] = u / x[SUPPLY]
        c[TOTAL] += abs(c[SECOND] - truth)

    return jit(control)


def make_body(p, jit, spring):
    h = 1e-3 / STEPS

    def body(x, coulomb):
        i, angle, w, z, w_old, drives = x[CURRENT], x[ANGLE], x[W], x[Z], x[W_OLD], x[DRIVES]
        total = p.resistance + 2 * p.switch_resistance + x[DUTY] * x[DUTY] * p.supply_resistance
        fade = drives * math.exp(-h * total / p.inductance)
        mean = drives * (1.0 - fade) * p.inductance / (h * total)
        still, back = drives * x[DUTY] * p.supply / total, drives * p.k / total
        for _ in range(STEPS):
            ahead = 1.5 * w - 0.5 * w_old
            pace, ratio = abs(ahead), ahead / p.stribeck
            i_mean, slip = mean * i + (1.0 - mean) * still, (1.0 - mean) * back
            g = coulomb + (p.breakaway - p.coulomb) * math.exp(-ratio * ratio)
            g += p.gear_loss * abs(p.k * (i_mean - slip * ahead))
            s = h * p.stiffness * pace
            q = 1.0 / (2 * g * g + s * (2 * g + s))
            one, two = g * (2 * g + s) * q, g * (g + s) * q
            fading = p.damping * 4 * g / (4 * g + p.damping * pace)
            relaxing = -(2 * g + s) * p.stiffness * pace * q * z
            middle = angle + 0.5 * h * ahead
            low = p.stop_stiffness * max(1 - p.stop_damping * ahead, 0.0) if middle < p.closed else 0.0
            high = p.stop_stiffness * max(1 + p.stop_damping * ahead, 0.0) if middle > p.open else 0.0
            torque = p.k * i_mean - p.stiffness * one * z - fading * relaxing + spring(middle - p.rest)
            torque += low * (p.closed - angle) + high * (p.open - angle)
            drag = p.stiffness * h * two + fading * one + p.viscous + 0.5 * h * (low + high) + p.k * slip
            weight = 0.5 * h / p.inertia
            w_mean = (w + weight * torque) / (1.0 + weight * drag)
            i = fade * i + (1.0 - fade) * (still - back * w_mean)
            angle += h * w_mean
            z += h * (relaxing + one * w_mean)
            w_old, w = w, 2 * w_mean - w
        x[CURRENT], x[ANGLE], x[W], x[Z], x[W_OLD] = i, angle, w, z, w_old

    return jit(body)


def make(numbers, jit):
    """A function of (runs, travels, seed) that gives each run's mean error."""
    p = namedtuple("Numbers", numbers)(**numbers)
    spring = make_spring(p, jit)
    sense, watch = make_sense(p, jit), make_watch(p, jit)
    control, body = make_control(p, jit, spring), make_body(p, jit, spring)

    def run(runs, travels, seed):
        np.random.seed(seed)
        errors, x, c = np.zeros(runs), np.zeros(8), np.zeros(11)
        filtered, reads, count = np.zeros(4), np.zeros(4), np.zeros(11)
        for r in range(runs):
            x[:], c[:], count[:] = 0.0, 0.0, 0.0
            x[ANGLE] = p.rest
            for k in range(len(travels)):
                truth = sense(x, filtered, reads, travels[k], k)
                watch(x, c, reads, count)
                control(x, c, reads, k, truth)
                body(x, p.coulomb * (1.0 + 0.1 * math.sin(r)))
            errors[r] = c[TOTAL] / len(travels)
        return errors

    return jit(run)
