#include "shimwise/model/car.hpp"

namespace shimwise {

const std::vector<double>& Car::box_mm(const Stack& stack) const {
    return stack.box.empty() ? stack.box_mm : boxes_mm.at(stack.box);
}

}  // namespace shimwise
