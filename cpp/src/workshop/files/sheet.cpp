#include "shimwise/workshop/files/sheet.hpp"

#include <algorithm>

#include "shimwise/model/limits.hpp"

namespace shimwise {
namespace {

TurnedLength& listed(std::vector<std::pair<std::string, TurnedLength>>& lengths, std::string_view name, double now_mm) {
    const auto there = std::find_if(lengths.begin(), lengths.end(), [&](const auto& one) { return one.first == name; });
    return there != lengths.end() ? there->second : lengths.emplace_back(name, TurnedLength{{}, now_mm}).second;
}

CornerSheet corner_sheet(const Car& car, const Corner& corner) {
    const Instruments& with = car.instruments;
    CornerSheet sheet;
    sheet.flags = with.flag_ruler.resolution_mm > 0.0 && corner.wheel.flag_span_mm > 0.0;
    sheet.camber = with.camber_gauge.resolution_deg > 0.0;
    sheet.scale = with.scale.resolution_kg > 0.0;
    for (const Adjuster& adjuster : corner.adjusters) {
        if (const Stack* stack = adjuster.stack()) {
            sheet.shims_mm.emplace_back(adjuster.name, stack->fitted_mm);
            continue;
        }
        const auto length = adjuster.length();
        if (!length || length == Length::spring_platform) continue;
        if (const auto now_mm = present_length_mm(car, corner.id, *length))
            listed(sheet.lengths, length_names[index(*length)], *now_mm).adjusters.push_back(adjuster.name);
    }
    return sheet;
}

std::vector<std::string> left_out(const Car& car) {
    const Instruments& with = car.instruments;
    const bool ruler = with.flag_ruler.resolution_mm > 0.0;
    const bool spans = std::all_of(car.corners.begin(), car.corners.end(),
                                   [](const Corner& corner) { return corner.wheel.flag_span_mm > 0.0; });
    const bool points = !car.ride_heights.empty();
    std::vector<std::string> sentences;
    const auto want = [&](bool there, const std::string& what, const std::string& key) {
        if (!there) sentences.push_back(what + ": the car file gives no " + key + ".");
    };
    want(ruler, "Flags", "[instruments] flag_ruler");
    want(spans || !ruler, "Flags at every wheel", "setup_wheel flag_span_mm at each axle");
    want(with.camber_gauge.resolution_deg > 0.0, "Camber", "[instruments] camber_gauge");
    want(with.scale.resolution_kg > 0.0, "Scales", "[instruments] scale");
    want(with.height_gauge.resolution_mm > 0.0 || !points, "Ride heights", "[instruments] height_gauge");
    want(points, "Ride heights", "[ride_height_points]");
    want(with.pad_level.resolution_mm > 0.0, "Pads", "[instruments] pad_level");
    want(car.strings.bars_apart_mm > 0.0, "Strings", "[strings] bars_apart_mm");
    return sentences;
}

}  // namespace

Sheet sheet(const Car& car) {
    Sheet sheet;
    sheet.car = car.name;
    for (const Ballast& ballast : car.ballast) sheet.ballast_kg.emplace_back(ballast.name, ballast.now_kg);
    sheet.steered = std::any_of(car.corners.begin(), car.corners.end(),
                                [](const Corner& corner) { return corner.rack_direction.has_value(); });
    sheet.strings = car.strings.bars_apart_mm > 0.0;
    sheet.pads = car.instruments.pad_level.resolution_mm > 0.0;
    sheet.skid = car.skid_new_mm && car.instruments.height_gauge.resolution_mm > 0.0;
    if (car.instruments.height_gauge.resolution_mm > 0.0)
        for (const RideHeightPoint& point : car.ride_heights) sheet.ride_heights.push_back(point.name);
    sheet.camber_gauge = car.instruments.camber_gauge.resolution_deg > 0.0;
    for (std::size_t i = 0; i < corner_count; ++i) sheet.corners[i] = corner_sheet(car, car.corners[i]);
    sheet.left_out = left_out(car);
    return sheet;
}

}  // namespace shimwise
