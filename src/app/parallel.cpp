// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/parallel.h"

#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <mutex>

namespace paleproof::app {

void for_each_index(std::size_t count, unsigned threads, std::string_view stage,
                    const Progress& progress, const std::function<void(std::size_t)>& work) {
    std::mutex guard;
    std::size_t done = 0;
    tbb::task_arena arena(threads == 0 ? tbb::task_arena::automatic : static_cast<int>(threads));
    arena.execute([&] {
        // One face a task: faces differ in size, and the deck's order keeps the disk busy forward.
        tbb::parallel_for(
            tbb::blocked_range<std::size_t>(0, count, 1),
            [&](const tbb::blocked_range<std::size_t>& range) {
                for (std::size_t i = range.begin(); i < range.end(); ++i) {
                    if (progress.stop.stop_requested()) throw Interrupted{};
                    work(i);
                    const std::scoped_lock lock(guard);
                    ++done;
                    if (progress.report) progress.report(stage, done, count);
                }
            },
            tbb::simple_partitioner{});
    });
}

}  // namespace paleproof::app
