// Compiled with AVX2; nothing of it may run, not even an initialiser, before `kernel()` has asked the processor.
#include "motion/kernel.inl"

namespace shimwise {
const Kernel kernel_avx2 = {"avx2", &table, &sweep, &four};
}
