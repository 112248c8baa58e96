#include "workshop/doubt/doubting.hpp"

#include <cmath>

#include "files/shown.hpp"
#include "shimwise/model/check.hpp"

namespace shimwise {
namespace {

/// To four digits: more would say that they matter.
std::string shown(double value) {
    const double size = std::fabs(value);
    constexpr double smallest = 1e-300;  // below, its last digit is no number any more
    if (!(size > smallest) || !std::isfinite(size)) return files::shown(value);
    const double last = std::pow(10.0, std::floor(std::log10(size)) - 3.0);
    return files::shown(std::round(value / last) * last);
}

/// What would be said of the left side, where something is said of the right one.
std::string other_side(std::string words) {
    const auto at = words.find("right");
    return at == std::string::npos ? words : words.replace(at, 5, "left");
}

}  // namespace

void Doubting::number(const std::string& field, UsualOf of, double value) {
    const Usual& usual = usual_list[index(of)];
    if (value >= usual.least && value <= usual.most) return;
    const std::string unit = usual.unit.empty() ? "" : " " + std::string(usual.unit == "percent" ? "%" : usual.unit);
    said(field, std::string(usual.what) + " is " + shown(value) + unit + ", usually " + shown(usual.least) + " to " +
                    shown(usual.most) + unit + " (common practice): " + std::string(usual.matters));
}

void Doubting::said(const std::string& field, const std::string& sentence) {
    const std::string ends = field + (field.empty() ? "" : ": ") + sentence + ".";
    for (const Doubt& known : doubts_)
        if (known.text.ends_with(ends) || (mirrored_ && known.text.ends_with(other_side(ends)))) return;
    doubts_.push_back({field, file_ + (file_.empty() ? "" : ": ") + ends});
}

std::string at_corner_field(std::size_t corner, std::string_view part) {
    return std::string(corner_names[corner]) + "." + std::string(part);
}

double wheelbase_mm(const Car& car) {
    std::array<double, corner_count> x{};
    for (std::size_t c = 0; c < corner_count; ++c) x[c] = drawn_contact(car.corners[c]).x;
    return 0.5 * (x[0] + x[1] - x[2] - x[3]);
}

std::string doubtful_words(const std::vector<Doubt>& doubts) {
    std::vector<std::string> places;
    std::string words;
    for (const Doubt& doubt : doubts) {
        bool known = false;
        for (const std::string& place : places) known = known || place == doubt.at;
        if (known) continue;
        places.push_back(doubt.at);
        words += (words.empty() ? "doubtful: look again at " : ", ") + doubt.at;
    }
    return words.empty() ? words : words + ". ";
}

}  // namespace shimwise
