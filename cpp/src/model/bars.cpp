#include "shimwise/model/bars.hpp"

#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"

namespace shimwise {

Car with_bar(Car car, std::size_t axle, bool connected, const std::string& blade) {
    const std::string field = axle == 0 ? "front_bar" : "rear_bar";
    std::optional<Bar>& bar = car.bars.at(axle);
    if (!bar) throw InputError({{car.file, 0, 0, field, "", "the car has none"}});
    bar->connected = connected;
    if (blade.empty()) return car;
    const auto found = bar->blades_Nm_per_deg.find(blade);
    if (found == bar->blades_Nm_per_deg.end()) {
        std::vector<std::string> names;
        for (const auto& [name, rate] : bar->blades_Nm_per_deg) names.push_back(name);
        throw InputError({{car.file, 0, 0, field + ".blade", "\"" + blade + "\"",
                           names.empty() ? "this bar has no blades, but one rate"
                                         : "is no blade of this bar" + did_you_mean(blade, names)}});
    }
    bar->blade = blade;
    bar->rate_Nm_per_deg = found->second;
    return car;
}

}  // namespace shimwise
