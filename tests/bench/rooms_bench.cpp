// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The micro-benchmarks of all rooms in one program; --benchmark_filter=NAME picks some.
#include <benchmark/benchmark.h>

#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <opencv2/core.hpp>

int main(int argc, char** argv) {
    // As in a run (app/parallel.cpp): faces share the cores, not the parts of one face, and memory
    // that was freed is used again.
    cv::setNumThreads(1);
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 64 << 20);
#endif
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
    benchmark::RunSpecifiedBenchmarks();
    benchmark::Shutdown();
    return 0;
}
