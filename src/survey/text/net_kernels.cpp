// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/net_kernels.inc"

namespace paleproof::survey {

#ifdef PALEPROOF_AVX2
extern const NetKernels net_kernels_avx2;
#endif

const NetKernels& plain_net_kernels() {
    static constexpr NetKernels plain{dense, depthwise, add};
    return plain;
}

const NetKernels& net_kernels() {
#ifdef PALEPROOF_AVX2
    static const bool wide = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
    return wide ? net_kernels_avx2 : plain_net_kernels();
#else
    return plain_net_kernels();
#endif
}

}  // namespace paleproof::survey
