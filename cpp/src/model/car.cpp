#include "shimwise/model/car.hpp"

namespace shimwise {

const std::vector<double>& Car::box_mm(const Stack& stack) const {
    return stack.box.empty() ? stack.box_mm : boxes_mm.at(stack.box);
}

Weighing weighed(const Car& car, const std::array<double, corner_count>& kg) {
    Weighing as_set{kg, {}, car.bars};
    for (std::size_t c = 0; c < corner_count; ++c) as_set.amounts_mm[c] = car.corners[c].amounts_mm();
    return as_set;
}

}  // namespace shimwise
