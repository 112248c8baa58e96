// Many independent items over the cores of the machine, in chunks.
#pragma once

#include <cstddef>
#include <functional>

namespace shimwise {

/// Items first .. last - 1, to be worked on by one thread.
struct Chunk {
    std::size_t first = 0, last = 0;
};

/// Does a chunk; one of these belongs to one thread and may keep what it needs again. It asks `stopped` now and then
/// and returns early where it says so.
using ChunkWork = std::function<void(const Chunk&, const std::function<bool()>& stopped)>;

/// Works on `count` items in chunks of `chunk`, on so many threads beside this one, each with a work of its own from
/// `work_of_a_thread`. Every 50 ms this thread calls `watch` with the items done; and once more at the end. What
/// `watch` throws stops the work and is thrown on; so is what a work throws: of several the one of the lowest chunk.
/// Precondition: chunk and threads are at least 1.
void in_chunks(std::size_t count, std::size_t chunk, std::size_t threads,
               const std::function<ChunkWork()>& work_of_a_thread, const std::function<void(std::size_t)>& watch);

}  // namespace shimwise
