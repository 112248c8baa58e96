#include "files/toml_text.hpp"
#include "model/corner_text.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/bytes.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/model/car_file.hpp"

namespace shimwise {
namespace {

using files::TomlTable;

constexpr std::array<std::string_view, 2> axle_names = {"front", "rear"};
constexpr std::array<CornerId, 2> left_corners = {CornerId::front_left, CornerId::rear_left};
constexpr std::array<CornerId, 2> right_corners = {CornerId::front_right, CornerId::rear_right};

std::string under(const std::string& header, const TomlTable& table) {
    return table.empty() ? "" : "\n" + header + "\n" + table.lines();
}

template <class TableOf>
TomlTable by_axle(const Car& car, TableOf table_of) {
    TomlTable both;
    for (std::size_t i = 0; i < 2; ++i)
        if (const TomlTable one = table_of(car[left_corners[i]]); !one.empty()) both.put(axle_names[i], one);
    return both;
}

TomlTable mass(const Car& car) {
    const Mass& mass = car.mass;
    TomlTable table, unsprung_kg, unsprung_cg_mm;
    table.put("total_kg", mass.total_kg);
    if (mass.cg_mm) table.put("cg_mm", *mass.cg_mm);
    if (mass.weighing) {
        TomlTable scales_kg;
        for (std::size_t c = 0; c < corner_count; ++c) scales_kg.put(corner_names[c], mass.weighing->kg[c]);
        table.put("scales_kg", scales_kg);
        table.put("cg_height_mm", mass.cg_height_mm);
    }
    for (std::size_t i = 0; i < 2; ++i) {
        const Corner& corner = car[left_corners[i]];
        unsprung_kg.put(axle_names[i], corner.unsprung_kg);
        if (corner.unsprung_cg_mm) unsprung_cg_mm.put(axle_names[i], *corner.unsprung_cg_mm);
    }
    table.put("unsprung_kg", unsprung_kg);
    if (!unsprung_cg_mm.empty()) table.put("unsprung_cg_mm", unsprung_cg_mm);
    return table;
}

/// How the car was set on the scales, where that is not how it is set now.
TomlTable weighed(const Car& car) {
    TomlTable table, amounts_mm;
    if (!car.mass.weighing) return table;
    for (const Corner& corner : car.corners) {
        const std::vector<double>& then_mm = car.mass.weighing->amounts_mm[index(corner.id)];
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a)
            if (then_mm[a] != corner.adjusters[a].amount_mm())
                amounts_mm.put(std::string(corner_names[index(corner.id)]) + "." + corner.adjusters[a].name,
                               then_mm[a]);
    }
    if (!amounts_mm.empty()) table.put("amounts_mm", amounts_mm);
    for (std::size_t i = 0; i < 2; ++i) {
        const std::optional<Bar>&now = car.bars[i], &then = car.mass.weighing->bars[i];
        if (!now || (then->connected == now->connected && then->blade == now->blade)) continue;
        TomlTable one;
        one.put("connected", then->connected);
        if (!then->blade.empty()) one.put("blade", then->blade);
        table.put(std::string(axle_names[i]) + "_bar", one);
    }
    return table;
}

TomlTable ballast(const Ballast& of) {
    TomlTable table;
    table.put("name", of.name);
    table.put("at_mm", of.at_mm);
    table.put("now_kg", of.now_kg);
    return table;
}

TomlTable setup_wheel(const Corner& corner) {
    TomlTable table;
    table.put("radius_mm", corner.wheel.radius_mm);
    table.put("width_mm", corner.wheel.width_mm);
    table.put("offset_mm", corner.wheel.offset_mm);
    table.put("flag_span_mm", corner.wheel.flag_span_mm);
    if (corner.wheel.flags_out_mm) table.put("flags_out_mm", *corner.wheel.flags_out_mm);
    return table;
}

TomlTable tyre(const Corner& corner) {
    TomlTable table;
    if (!corner.tyre) return table;
    table.put("loaded_radius_mm", corner.tyre->loaded_radius_mm);
    if (corner.tyre->rate_N_per_mm) table.put("rate_N_per_mm", *corner.tyre->rate_N_per_mm);
    return table;
}

TomlTable strings(const Strings& of) {
    TomlTable table;
    if (of.bars_apart_mm == 0.0 && of.on_car && of.end_uncertainty_mm == 0.0) return table;  // as left out
    table.put("bars_apart_mm", of.bars_apart_mm);
    table.put("on", std::string_view(of.on_car ? "car" : "stands"));
    table.put("end_uncertainty_mm", of.end_uncertainty_mm);
    return table;
}

TomlTable ride_heights(const std::vector<RideHeightPoint>& points) {
    TomlTable table;
    for (const RideHeightPoint& point : points) {
        TomlTable one;
        one.put("at_mm", point.at_mm);
        one.put("from", height_from_names[index(point.from)]);
        table.put(point.name, one);
    }
    return table;
}

TomlTable rake(const Car& car) {
    TomlTable table;
    if (car.rake_front.empty() && car.rake_rear.empty()) return table;
    table.put("front", car.rake_front);
    table.put("rear", car.rake_rear);
    return table;
}

TomlTable rack(const std::optional<Rack>& of) {
    TomlTable table;
    if (!of) return table;
    table.put("direction", of->direction);
    table.put("travel_mm", std::pair(of->least_mm, of->most_mm));
    table.put("mm_per_turn", of->mm_per_turn);
    return table;
}

TomlTable bar(const std::optional<Bar>& of) {
    TomlTable table;
    if (!of) return table;
    for (std::size_t side = 0; side < 2; ++side) {
        TomlTable one;
        one.put("bearing", of->bearing[side]);
        one.put("arm", of->arm[side]);
        table.put(std::string_view(side == 0 ? "left" : "right"), one);
    }
    if (of->blades_Nm_per_deg.empty()) {
        table.put("rate_Nm_per_deg", of->rate_Nm_per_deg);
    } else {
        TomlTable blades;
        for (const auto& [name, rate] : of->blades_Nm_per_deg) blades.put(name, rate);
        table.put("blades_Nm_per_deg", blades);
        table.put("blade", of->blade);
    }
    table.put("connected", of->connected);
    return table;
}

TomlTable third(const std::optional<Third>& of) {
    TomlTable table;
    if (!of) return table;
    table.put("left", of->at_mm[0]);
    table.put("right", of->at_mm[1]);
    table.put("rate_N_per_mm", of->rate_N_per_mm);
    table.put("gap_mm", of->gap_mm);
    table.put("carries", std::string_view(of->carries_pull ? "pull" : "push"));
    return table;
}

TomlTable boxes(const Car& car) {
    TomlTable table;
    for (const auto& [name, shims_mm] : car.boxes_mm) table.put(name + "_mm", shims_mm);
    return table;
}

TomlTable built_off(const Car& car) {
    TomlTable table;
    for (const Corner& corner : car.corners)
        for (std::size_t p = 0; p < point_count; ++p)
            if (const Vec3<double>& by = corner.built_off_mm[p]; squared(by) != 0.0)
                table.put(std::string(corner_names[index(corner.id)]) + "." + std::string(point_names[p]), by);
    return table;
}

TomlTable instruments(const Instruments& of) {
    TomlTable table;
    const auto put = [&](std::string_view name, double resolution, const TomlTable& one) {
        if (resolution > 0.0) table.put(name, one);
    };
    TomlTable ruler, camber, height, scale, level;
    ruler.put("resolution_mm", of.flag_ruler.resolution_mm);
    ruler.put("repeatability_mm", of.flag_ruler.repeatability_mm);
    ruler.put("level_uncertainty_deg", of.flag_ruler.level_uncertainty_deg);
    put("flag_ruler", of.flag_ruler.resolution_mm, ruler);
    camber.put("resolution_deg", of.camber_gauge.resolution_deg);
    camber.put("repeatability_deg", of.camber_gauge.repeatability_deg);
    camber.put("zero_error_deg", of.camber_gauge.zero_error_deg);
    camber.put("zero_uncertainty_deg", of.camber_gauge.zero_uncertainty_deg);
    if (!of.camber_gauge.checked.empty()) camber.put_written("checked", of.camber_gauge.checked);
    if (of.camber_gauge.valid_days) camber.put("valid_days", *of.camber_gauge.valid_days);
    put("camber_gauge", of.camber_gauge.resolution_deg, camber);
    height.put("resolution_mm", of.height_gauge.resolution_mm);
    height.put("repeatability_mm", of.height_gauge.repeatability_mm);
    put("height_gauge", of.height_gauge.resolution_mm, height);
    scale.put("resolution_kg", of.scale.resolution_kg);
    scale.put("repeatability_kg", of.scale.repeatability_kg);
    scale.put("zero_uncertainty_kg", of.scale.zero_uncertainty_kg);
    scale.put("span_uncertainty_percent", of.scale.span_uncertainty_percent);
    put("scale", of.scale.resolution_kg, scale);
    level.put("resolution_mm", of.pad_level.resolution_mm);
    level.put("repeatability_mm", of.pad_level.repeatability_mm);
    put("pad_level", of.pad_level.resolution_mm, level);
    return table;
}

TomlTable settling(const Settling& of) {
    TomlTable table;
    table.put("warp_kg", of.warp_kg);
    table.put("ride_height_mm", of.ride_height_mm);
    table.put("lateral_mm", of.lateral_mm);
    table.put("toe_deg", of.toe_deg);
    table.put("camber_deg", of.camber_deg);
    return table;
}

TomlTable known(const Known& of) {
    TomlTable table;
    if (bytes_of(of) == bytes_of(Known())) return table;
    table.put("toe_deg", of.toe_deg);
    table.put("camber_deg", of.camber_deg);
    table.put("places_mm", of.places_mm);
    table.put("total_kg", of.total_kg);
    table.put("total_at_mm", of.total_at_mm);
    table.put("rods_mm", of.rods_mm);
    table.put("pushrods_mm", of.pushrods_mm);
    table.put("platforms_mm", of.platforms_mm);
    return table;
}

/// With the right corners of these axles; the others are left to be mirrored.
std::string written(const Car& car, std::array<bool, 2> with_right) {
    TomlTable top;
    top.put("format", std::string_view("shimwise-car/1"));
    top.put("name", car.name);
    if (car.chassis_twist_Nm_per_deg) top.put("chassis_twist_Nm_per_deg", *car.chassis_twist_Nm_per_deg);
    if (car.skid_new_mm) top.put("skid_new_mm", *car.skid_new_mm);
    std::string text = top.lines() + under("[mass]", mass(car)) + under("[weighed]", weighed(car));
    for (const Ballast& of : car.ballast) text += under("[[ballast]]", ballast(of));
    text += under("[setup_wheel]", by_axle(car, setup_wheel)) + under("[tyre]", by_axle(car, tyre)) +
            under("[strings]", strings(car.strings)) + under("[ride_height_points]", ride_heights(car.ride_heights)) +
            under("[rake]", rake(car)) + under("[rack]", rack(car.rack));
    for (std::size_t i = 0; i < 2; ++i) text += under("[" + std::string(axle_names[i]) + "_bar]", bar(car.bars[i]));
    for (std::size_t i = 0; i < 2; ++i)
        text += under("[" + std::string(axle_names[i]) + "_third]", third(car.thirds[i]));
    text += under("[shims]", boxes(car)) + under("[built_off_mm]", built_off(car));
    for (std::size_t i = 0; i < 2; ++i) {
        text += corner_text(car[left_corners[i]]);
        if (with_right[i]) text += corner_text(car[right_corners[i]]);
    }
    return text + under("[instruments]", instruments(car.instruments)) + under("[settling]", settling(car.settling)) +
           under("[known]", known(car.known));
}

/// Whether the right corner of each axle is read from the left one alone as it is, bit for bit.
std::array<bool, 2> is_mirrored(const Car& car) {
    try {
        const Car again = car_from({car.file, written(car, {false, false}), false});
        const auto same = [&](CornerId id) { return bytes_of(again[id]) == bytes_of(car[id]); };
        return {same(CornerId::front_right), same(CornerId::rear_right)};
    } catch (const InputError&) {  // a left side whose mirror image cannot be
        return {false, false};
    }
}

}  // namespace

std::string car_text(const Car& car) {
    const std::array<bool, 2> mirrored = is_mirrored(car);
    std::string text = written(car, {!mirrored[0], !mirrored[1]});
    Car again = car_from({car.file, text, false});
    again.origin = car.origin;
    if (bytes_of(again) != bytes_of(car))
        throw InputError(
            {{car.file, 0, 0, "", "", "is a car that no file can describe: it is not read back as it is"}});
    return text;
}

void save_car(const Car& car, const std::string& path) { write_new_file(path, car_text(car)); }

}  // namespace shimwise
