#include "value_class.hpp"

#include "shimwise/error.hpp"

namespace py = pybind11;

namespace shimwise {

State state_of(std::string_view bytes) { return py::make_tuple(SHIMWISE_VERSION, py::bytes(bytes)); }

std::string bytes_in(const State& state) {
    const auto version = state[0].cast<std::string>();
    if (version != SHIMWISE_VERSION)
        throw InputError({{"pickle", 0, 0, "", "",
                           "was written by shimwise " + version +
                               ", this is " SHIMWISE_VERSION ": pickles are for one "
                               "version; save files instead"}});
    return state[1].cast<std::string>();
}

}  // namespace shimwise
