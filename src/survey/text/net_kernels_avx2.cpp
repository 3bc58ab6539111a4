// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Compiled with -mavx2 -mfma: see CMakeLists.txt.
#include "survey/text/net_kernels.inc"

namespace paleproof::survey {

extern const NetKernels net_kernels_avx2;
const NetKernels net_kernels_avx2{dense, depthwise, add};

}  // namespace paleproof::survey
