// SPDX-License-Identifier: BSD-3-Clause
#include "windows.hpp"

#include <algorithm>
#include <limits>
#include <span>

namespace twintrack::study {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

Column reversed(const Column& x) { return {x.rbegin(), x.rend()}; }

Column negative(Column x) {
    for (double& v : x) v = -v;
    return x;
}

/// y[i] = least of u[i] … u[i + width − 1], for the rows of y; u is used up.
void least_of_width(Column& u, std::size_t width, Column& y) {
    std::size_t done = 1;  // u[i] is the least of this many
    for (; 2 * done <= width; done *= 2) {
        double* a = u.data();
        const std::size_t n = u.size() - done;
        for (std::size_t i = 0; i < n; ++i) a[i] = std::min(a[i], a[i + done]);
    }
    const double *a = u.data(), *b = u.data() + (width - done);
    for (std::size_t i = 0; i < y.size(); ++i) y[i] = std::min(a[i], b[i]);
}

/// The least of everything from each row on.
Column least_from(Column x, double none) {
    double least = none;
    for (std::size_t i = x.size(); i-- > 0;) x[i] = least = std::min(x[i], least);
    return x;
}

/// y[i] = x[i + rows], `none` beyond the end.
Column earlier(const Column& x, std::size_t rows, double none) {
    Column y(x.size(), none);
    if (rows < x.size()) std::copy(x.begin() + static_cast<std::ptrdiff_t>(rows), x.end(), y.begin());
    return y;
}

/// Rows [first, last) of each row's window; neither ever moves back.
struct Bounds {
    std::vector<std::size_t> first, last;
};

/// Rows from i on with time in [tᵢ + from, tᵢ + to].
Bounds bounds(std::span<const std::int64_t> time, const Window& w) {
    const std::size_t n = time.size();
    Bounds b{std::vector<std::size_t>(n), std::vector<std::size_t>(n, n)};
    std::size_t first = 0, last = 0;
    for (std::size_t i = 0; i < n; ++i) {
        while (first < n && (first < i || time[first] - time[i] < w.from.count())) ++first;
        while (last < n && time[last] - time[i] <= w.to.count()) ++last;
        b.first[i] = first, b.last[i] = last;
    }
    return b;
}

Column least_between(const Column& x, const Bounds& b, double none) {
    Column best(x.size(), none);
    std::vector<std::size_t> waiting(x.size());
    std::size_t head = 0, tail = 0, next = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (; next < b.last[i]; ++next) {
            while (tail > head && x[waiting[tail - 1]] >= x[next]) --tail;
            waiting[tail++] = next;
        }
        while (head < tail && waiting[head] < b.first[i]) ++head;
        if (head < tail && b.first[i] < b.last[i]) best[i] = x[waiting[head]];
    }
    return best;
}

/// Times counted from the last row backwards: the past becomes the future.
std::vector<std::int64_t> reversed(const std::vector<std::int64_t>& time) {
    std::vector<std::int64_t> back(time.rbegin(), time.rend());
    for (auto& t : back) t = time.back() - t;
    return back;
}

}  // namespace

/// The columns' rows from a window's point of view: its first and last one as distances in rows.
struct Windows::Rows {
    std::size_t first, last;  // of a window on the grid; last: never before first
    bool empty, endless;
};

Windows::Windows(const std::vector<std::int64_t>& microseconds) : time_(microseconds) {
    if (time_.size() < 2) return;
    step_ = time_[1] - time_[0];
    for (std::size_t i = 1; i < time_.size(); ++i)
        if (time_[i] - time_[i - 1] != step_) step_ = 0;
}

Windows::Rows Windows::rows(const Window& w) const {
    const auto n = static_cast<std::int64_t>(time_.size());
    const std::int64_t from = std::min(w.from.count() / step_ + (w.from.count() % step_ != 0), n);
    const std::int64_t to = std::min(w.to.count() / step_, n);
    return {static_cast<std::size_t>(from), static_cast<std::size_t>(to), to < from || from >= n, to >= n - 1};
}

Column Windows::on_grid(const Column& x, const Window& window, Direction direction, double none) const {
    const Rows w = rows(window);
    const std::size_t n = x.size();
    if (w.empty) return Column(n, none);
    if (w.endless && direction == Direction::back)
        return reversed(on_grid(reversed(x), window, Direction::ahead, none));
    if (w.endless) return earlier(least_from(x, none), w.first, none);
    const std::size_t width = w.last - w.first + 1;
    Column u(n + width - 1, none), y(n);
    if (direction == Direction::ahead)
        std::copy(x.begin() + static_cast<std::ptrdiff_t>(w.first), x.end(), u.begin());
    else  // u[k] = x[k − last]
        std::copy(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(std::min(n, n + width - 1 - w.last)),
                  u.begin() + static_cast<std::ptrdiff_t>(w.last));
    least_of_width(u, width, y);
    return y;
}

Column Windows::least(const Column& x, const Window& window, Direction direction, double none) const {
    if (step_ > 0) return on_grid(x, window, direction, none);
    if (direction == Direction::ahead) return least_between(x, bounds(time_, window), none);
    return reversed(least_between(reversed(x), bounds(reversed(time_), window), none));
}

Column Windows::until(const Column& stay, const Column& goal, const Window& window, Direction direction) const {
    if (direction == Direction::back) {
        const std::vector<std::int64_t> back = reversed(time_);
        return reversed(Windows(back).until(reversed(stay), reversed(goal), window, Direction::ahead));
    }
    const std::size_t n = stay.size();
    Column result(n);
    double later = -infinity;  // without a window
    for (std::size_t i = n; i-- > 0;) result[i] = later = std::max(goal[i], std::min(stay[i], later));
    if (window.from.count() > 0) {
        const Bounds b = bounds(time_, window);
        Bounds before{std::vector<std::size_t>(n), b.first};
        for (std::size_t i = 0; i < n; ++i) before.first[i] = i;
        const Column lasting = least_between(stay, before, infinity), unbounded = std::move(result);
        result.assign(n, -infinity);
        for (std::size_t i = 0; i < n; ++i)
            if (b.first[i] < n) result[i] = std::min(lasting[i], unbounded[b.first[i]]);
    }
    if (window.to == Time::max()) return result;
    const Column within = negative(least(negative(goal), window, Direction::ahead, infinity));
    for (std::size_t i = 0; i < n; ++i) result[i] = std::min(result[i], within[i]);
    return result;
}

Column Windows::lasted(const Column& x, const Window& window) const {
    if (step_ == 0) return until(x, x, window, Direction::back);
    Window whole = window;  // from the row itself to the first one that lies `from` back
    const Rows w = rows(window);
    if (w.empty) return Column(x.size(), -infinity);
    whole.from = Time{0}, whole.to = Time{static_cast<std::int64_t>(w.first) * step_};
    Column y = on_grid(x, whole, Direction::back, infinity);
    std::fill(y.begin(), y.begin() + static_cast<std::ptrdiff_t>(w.first), -infinity);
    return y;
}

}  // namespace twintrack::study
