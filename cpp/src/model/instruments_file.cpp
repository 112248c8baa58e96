#include "model/instruments_file.hpp"

namespace shimwise {

using files::Table;
using files::Wanted;

namespace {

/// An instrument that is given has a resolution: 0 in the struct means that it is not given.
void read_resolution(Table& table, std::string_view key, double& into) {
    if (table.read(key, into, Wanted::required) && !(into > 0.0)) table.problem(key, "must be more than 0");
}

}  // namespace

Instruments read_instruments(Table table) {
    Instruments instruments;
    Table flag_ruler = table.table("flag_ruler");
    read_resolution(flag_ruler, "resolution_mm", instruments.flag_ruler.resolution_mm);
    flag_ruler.read("repeatability_mm", instruments.flag_ruler.repeatability_mm);
    flag_ruler.read("level_uncertainty_deg", instruments.flag_ruler.level_uncertainty_deg);
    flag_ruler.close();

    CamberGauge& gauge = instruments.camber_gauge;
    Table camber_gauge = table.table("camber_gauge");
    read_resolution(camber_gauge, "resolution_deg", gauge.resolution_deg);
    camber_gauge.read("repeatability_deg", gauge.repeatability_deg);
    camber_gauge.read("zero_error_deg", gauge.zero_error_deg);
    camber_gauge.read("zero_uncertainty_deg", gauge.zero_uncertainty_deg);
    camber_gauge.read_date("checked", gauge.checked, false);
    camber_gauge.read("valid_days", gauge.valid_days);
    camber_gauge.close();

    Table height_gauge = table.table("height_gauge");
    read_resolution(height_gauge, "resolution_mm", instruments.height_gauge.resolution_mm);
    height_gauge.read("repeatability_mm", instruments.height_gauge.repeatability_mm);
    height_gauge.close();

    Table scale = table.table("scale");
    read_resolution(scale, "resolution_kg", instruments.scale.resolution_kg);
    scale.read("repeatability_kg", instruments.scale.repeatability_kg);
    scale.read("zero_uncertainty_kg", instruments.scale.zero_uncertainty_kg);
    scale.read("span_uncertainty_percent", instruments.scale.span_uncertainty_percent);
    scale.close();

    Table pad_level = table.table("pad_level");
    read_resolution(pad_level, "resolution_mm", instruments.pad_level.resolution_mm);
    pad_level.read("repeatability_mm", instruments.pad_level.repeatability_mm);
    pad_level.close();
    table.close();
    return instruments;
}

Strings read_strings(Table table) {
    Strings strings;
    constexpr std::array<std::string_view, 2> places = {"car", "stands"};
    std::size_t place = 0;
    table.read("bars_apart_mm", strings.bars_apart_mm, Wanted::required);
    table.choice("on", places, place, Wanted::required);
    strings.on_car = place == 0;
    table.read("end_uncertainty_mm", strings.end_uncertainty_mm);
    table.close();
    return strings;
}

Settling read_settling(Table table) {
    Settling settling;
    table.read("warp_kg", settling.warp_kg);
    table.read("ride_height_mm", settling.ride_height_mm);
    table.read("lateral_mm", settling.lateral_mm);
    table.read("toe_deg", settling.toe_deg);
    table.read("camber_deg", settling.camber_deg);
    table.close();
    return settling;
}

Known read_known(Table table) {
    Known known;
    table.read("toe_deg", known.toe_deg);
    table.read("camber_deg", known.camber_deg);
    table.read("places_mm", known.places_mm);
    table.read("total_kg", known.total_kg);
    table.read("total_at_mm", known.total_at_mm);
    table.read("rods_mm", known.rods_mm);
    table.read("pushrods_mm", known.pushrods_mm);
    table.read("platforms_mm", known.platforms_mm);
    table.close();
    return known;
}

}  // namespace shimwise
