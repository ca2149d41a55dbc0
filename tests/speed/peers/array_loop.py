# SPDX-License-Identifier: BSD-3-Clause
"""The closed loop of one bench over many runs at once, as one writes it for NumPy. See loop_numbers.py."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

STEPS = 5


class Loop:
    """All runs side by side; every state is an array over the runs."""

    def __init__(self, numbers, runs, seed):
        self.p = p = SimpleNamespace(**numbers)
        self.draw = np.random.default_rng(seed)
        self.runs, self.travel = runs, p.open - p.closed
        self.coulomb = p.coulomb * (1.0 + 0.1 * np.sin(np.arange(runs)))
        self.columns = [np.array(v)[:, None] for v in (p.rest_ratio, p.span_ratio)]
        zero = np.zeros(runs)
        self.i, self.w, self.z, self.w_old, self.duty = (zero.copy() for _ in range(5))
        self.angle = zero + p.rest
        self.count = np.zeros((11, runs))
        self.off, self.drives, self.running = (np.zeros(runs, bool) for _ in range(3))
        self.share, self.entry, self.first, self.second, self.opening = (zero.copy() for _ in range(5))
        self.integral, self.deriv, self.e_old, self.total = (zero.copy() for _ in range(4))

    def sense(self, travel, k):
        p = self.p
        self.truth = (self.angle - p.closed) / self.travel
        place = np.empty((4, self.runs))
        place[:2], place[2:] = travel, np.clip(self.truth, 0.0, 1.0)
        share = self.columns[0] + self.columns[1] * place
        share += p.noise * self.draw.standard_normal(share.shape)
        volts = 5.0 * np.clip(share, 0.0, 1.0)
        self.filtered = volts + (self.filtered - volts) * p.filter_decay if k else volts
        self.reads = np.clip(np.rint(self.filtered * (4095.0 / 5.0)), 0.0, 4095.0) / 4095.0
        self.supply = p.supply - p.supply_resistance * self.duty * self.i

    def watch(self):
        p, r = self.p, self.reads
        bad = np.empty((11, self.runs), bool)
        bad[:4], bad[4:8] = r < 0.04, r > 0.96
        for pair in range(2):
            a, b = 2 * pair, 2 * pair + 1
            place = (r[a] - p.learned_rest[a]) / p.learned_span[a]
            away = np.abs(r[b] - p.learned_rest[b] - place * p.learned_span[b]) / abs(p.learned_span[b])
            bad[8 + pair] = away > 0.1
        bad[10] = self.drives & (np.abs(self.second - self.opening) > 0.1)
        self.count = np.where(bad, self.count + 1, 0.0)
        self.off |= (self.count[:10] > 101).any(axis=0) | (self.count[10] > 1001)

    def spring(self, x):
        p = self.p
        up, down = np.maximum(x, 0.0), np.maximum(-x, 0.0)
        closing = p.open_rate * up + p.open_preload * np.minimum(up / p.width, 1.0)
        return p.close_rate * down + p.close_preload * np.minimum(down / p.width, 1.0) - closing

    def feed(self, y, speed):
        p = self.p
        torque = p.coulomb * speed / (np.abs(speed) + 0.05) + p.viscous * speed
        torque = torque - self.spring(p.closed + y * self.travel - p.learned_default)
        return p.resistance * torque / p.k + p.k * speed

    def enter(self, new):
        held = np.clip(self.opening, 0.0, 1.0)
        error = (held - self.opening) * self.travel
        for state in (self.entry, self.first, self.second):
            state[new] = held[new]
        self.share[new], self.deriv[new], self.e_old[new] = 0.0, 0.0, error[new]
        self.integral[new] = (-self.feed(held, np.zeros(self.runs)) - self.p.kp * error)[new]

    def control(self, k):
        p, r = self.p, self.reads
        pedal = (r[0] - p.learned_rest[0]) / p.learned_span[0]
        self.opening = (r[2] - p.learned_rest[2]) / p.learned_span[2]
        self.drives = ~self.off & (k >= 150)
        if not self.drives.any():
            self.duty[:] = 0.0
            return
        new = self.drives & ~self.running
        if new.any():
            self.enter(new)
        self.running = self.drives
        self.share = np.minimum(self.share + 0.01, 1.0)
        goal = p.twitch if k < 230 else np.minimum(0.02 + (0.95 / 0.97) * np.maximum(pedal - 0.03, 0.0), 0.97)
        before = self.second
        self.first = self.first + p.alpha * (self.entry + self.share * (goal - self.entry) - self.first)
        self.second = before + p.alpha * (self.first - before)
        e = (self.second - self.opening) * self.travel
        self.deriv = p.d_old * self.deriv + p.d_new * (e - self.e_old)
        speed = (self.second - before) * (self.travel / 1e-3)
        wanted = p.kp * e + self.integral + self.deriv + self.feed(self.second, speed)
        limit = 0.95 * self.supply
        u = np.clip(wanted, -limit, limit)
        outside = e - np.clip(e, -p.dead_band, p.dead_band)
        self.integral = self.integral + p.ki_step * outside + p.tracking * (u - wanted)
        self.e_old = e
        self.duty = np.where(self.drives, u / self.supply, 0.0)
        self.total += np.where(self.drives, np.abs(self.second - self.truth), 0.0)

    def stops(self, angle, ahead):
        p = self.p
        middle = angle + (0.5e-3 / STEPS) * ahead
        low = np.where(middle < p.closed, p.stop_stiffness * np.maximum(1 - p.stop_damping * ahead, 0.0), 0.0)
        high = np.where(middle > p.open, p.stop_stiffness * np.maximum(1 + p.stop_damping * ahead, 0.0), 0.0)
        return middle, low, high

    def body(self):
        p, h = self.p, 1e-3 / STEPS
        i, angle, w, z, w_old = self.i, self.angle, self.w, self.z, self.w_old
        total = p.resistance + 2 * p.switch_resistance + self.duty * self.duty * p.supply_resistance
        fade = self.drives * np.exp(-h * total / p.inductance)
        mean = self.drives * (1.0 - fade) * p.inductance / (h * total)
        still, back = self.drives * self.duty * p.supply / total, self.drives * p.k / total
        slip, weight = (1.0 - mean) * back, 0.5 * h / p.inertia
        for _ in range(STEPS):
            ahead = 1.5 * w - 0.5 * w_old
            pace = np.abs(ahead)
            i_mean = mean * i + (1.0 - mean) * still
            g = self.coulomb + (p.breakaway - p.coulomb) * np.exp(-((ahead / p.stribeck) ** 2))
            g += p.gear_loss * np.abs(p.k * (i_mean - slip * ahead))
            s = (h * p.stiffness) * pace
            q = 1.0 / (2 * g * g + s * (2 * g + s))
            one, two = g * (2 * g + s) * q, g * (g + s) * q
            fading = p.damping * 4 * g / (4 * g + p.damping * pace)
            relaxing = -(2 * g + s) * p.stiffness * pace * q * z
            middle, low, high = self.stops(angle, ahead)
            torque = p.k * i_mean - p.stiffness * one * z - fading * relaxing + self.spring(middle - p.rest)
            torque += low * (p.closed - angle) + high * (p.open - angle)
            drag = p.stiffness * h * two + fading * one + p.viscous + 0.5 * h * (low + high) + p.k * slip
            w_mean = (w + weight * torque) / (1.0 + weight * drag)
            i = fade * i + (1.0 - fade) * (still - back * w_mean)
            angle = angle + h * w_mean
            z = z + h * (relaxing + one * w_mean)
            w_old, w = w, 2 * w_mean - w
        self.i, self.angle, self.w, self.z, self.w_old = i, angle, w, z, w_old


def run(numbers, runs, travels, seed):
    """Each run's mean error."""
    loop = Loop(numbers, runs, seed)
    for k, travel in enumerate(travels):
        loop.sense(travel, k)
        loop.watch()
        loop.control(k)
        loop.body()
    return loop.total / len(travels)
