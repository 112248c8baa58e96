#include "motion/kernel.inl"

namespace shimwise {
const Kernel kernel_base = {"base", &table, &sweep, &four};
}
