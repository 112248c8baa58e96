// Table of contents of shimwise._core, in walking order.
#include "bindings.hpp"

PYBIND11_MODULE(_core, module) {
    module.doc() = "The compiled part of shimwise; import shimwise instead.";
    module.attr("__version__") = SHIMWISE_VERSION;
    shimwise::bind_errors(module);
    shimwise::bind_interrupts(module);
    shimwise::bind_math(module);
    shimwise::bind_model(module);
    shimwise::bind_values(module);
    shimwise::bind_motion(module);
    shimwise::bind_rest(module);
    shimwise::bind_sweep(module);
    shimwise::bind_words(module);
    shimwise::bind_choose(module);
    shimwise::bind_workshop(module);
    shimwise::bind_recipes(module);
}
