// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "engine_lane.hpp"
#include "net.hpp"
#include "tick.hpp"

/// The functions of a kernel for one kind of pack, each inlined whole.
namespace twintrack::lanes {

template <class T>
struct KernelOf {
    using Block = LaneFields<T>;

    [[gnu::flatten]] static void sense_block(void* block, const Shape& shape) {
        sense(*static_cast<Block*>(block), shape);
    }
    [[gnu::flatten]] static LaneBits act_block(void* block, const Shape& shape) {
        Block& l = *static_cast<Block*>(block);
        if (shape.engine_steps > 0) govern(l, shape);
        return act(l, shape);
    }
    [[gnu::flatten]] static LaneBits advance_block(void* block, const Shape& shape) {
        Block& l = *static_cast<Block*>(block);
        const LaneBits failed = advance(l, shape);
        if (shape.engine_steps > 0) turn_engines(l, shape);
        return failed;
    }
    [[gnu::flatten]] static LaneBits join_block(void* block, const Shape& shape) {
        return join(*static_cast<Block*>(block), shape);
    }
    [[gnu::flatten]] static void convert_block(void* block, const Shape& shape) {
        convert(*static_cast<Block*>(block), shape);
    }
    [[gnu::flatten]] static LaneBits drive_block(void* block, const Shape& shape) {
        return drive(*static_cast<Block*>(block), shape);
    }
    static Progress run_block(void* block, const Shape& shape, int most) {
        Progress p;
        while (p.ticks < most) {
            sense_block(block, shape);
            p.flagged = act_block(block, shape);
            if (p.flagged) return p;
            p.failed = advance_block(block, shape);
            ++p.ticks;
            if (p.failed) return p;
        }
        return p;
    }
    [[nodiscard]] static Kernel kernel(const char* name) {
        return {name,       T::lanes,       T::width,    sizeof(Block),  &run_block,  &sense_block,
                &act_block, &advance_block, &join_block, &convert_block, &drive_block};
    }
};

}  // namespace twintrack::lanes
