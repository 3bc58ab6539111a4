// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/parallel.h"

#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <mutex>
#include <opencv2/core/utility.hpp>

namespace paleproof::app {
namespace {

/// What the libraries below us do for the whole process.
bool settle_libraries() {
    // The faces share the cores. OpenCV's own threads would only wait for each other on top.
    cv::setNumThreads(1);
#ifdef __GLIBC__
    // Every face needs the same few planes of some MB again. Handing them back to the kernel and
    // having them cleared anew took a tenth of a run.
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 64 << 20);
#endif
    return true;
}

}  // namespace

void give_memory_back() {
#ifdef __GLIBC__
    malloc_trim(0);
#endif
}

void for_each_index(std::size_t count, unsigned threads, std::string_view stage,
                    const Progress& progress, const std::function<void(std::size_t)>& work) {
    static const bool settled = settle_libraries();
    (void)settled;
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
