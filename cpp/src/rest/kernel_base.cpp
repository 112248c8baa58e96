#include "rest/kernel.inl"

namespace shimwise {
const RestKernel rest_kernel_base = {&numbers, &standing};
}
