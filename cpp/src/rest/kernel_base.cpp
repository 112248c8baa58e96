#include "rest/kernel.inl"
#include "rest/kernel_fours.inl"

namespace shimwise {
const RestKernel rest_kernel_base = {&numbers, &standing, &set, &follow, &go, &jets, &stances, &values};
}
