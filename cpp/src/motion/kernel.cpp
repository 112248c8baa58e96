#include "motion/kernel.hpp"

#include <cstring>

namespace shimwise {

const Kernel& kernel() {
    static const Kernel& best = __builtin_cpu_supports("avx2") ? kernel_avx2 : kernel_base;
    return best;
}

const Kernel* kernel_by_name(const char* name) {
    if (std::strcmp(name, kernel_base.name) == 0) return &kernel_base;
    if (std::strcmp(name, kernel_avx2.name) == 0 && __builtin_cpu_supports("avx2")) return &kernel_avx2;
    return nullptr;
}

}  // namespace shimwise
