#include "rest/kernel.hpp"

namespace shimwise {

const RestKernel& rest_kernel() {
    static const RestKernel& best = __builtin_cpu_supports("avx2") ? rest_kernel_avx2 : rest_kernel_base;
    return best;
}

}  // namespace shimwise
