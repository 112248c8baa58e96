// Compiled with AVX2; nothing of it may run, not even an initialiser, before `rest_kernel()` has asked the processor.
#include "rest/kernel.inl"
#include "rest/kernel_fours.inl"

namespace shimwise {
const RestKernel rest_kernel_avx2 = {&numbers, &standing, &set, &follow, &go, &jets, &stances, &values};
}
