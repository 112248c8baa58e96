#include "shimwise/model/adjuster.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <string_view>

#include "shimwise/units.hpp"

namespace shimwise {
namespace {

struct Coarse {
    std::string_view diameter;
    double pitch_mm;
};

// ISO 261, coarse series.
constexpr std::array<Coarse, 27> coarse_threads = {
    {{"1.6", 0.35}, {"2", 0.4},  {"2.5", 0.45}, {"3", 0.5},  {"3.5", 0.6}, {"4", 0.7},  {"5", 0.8},
     {"6", 1.0},    {"7", 1.0},  {"8", 1.25},   {"9", 1.25}, {"10", 1.5},  {"11", 1.5}, {"12", 1.75},
     {"14", 2.0},   {"16", 2.0}, {"18", 2.5},   {"20", 2.5}, {"22", 2.5},  {"24", 3.0}, {"27", 3.0},
     {"30", 3.5},   {"33", 3.5}, {"36", 4.0},   {"39", 4.0}, {"42", 4.5},  {"45", 4.5}}};

std::optional<double> positive(std::string_view text) {
    double value = 0.0;
    const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    if (error != std::errc() || stop != text.data() + text.size() || !(value > 0.0) || !std::isfinite(value))
        return std::nullopt;
    return value;
}

std::optional<double> metric_pitch_mm(std::string_view size) {
    const auto cross_at = size.find('x');
    if (cross_at == std::string_view::npos) {
        for (const Coarse& coarse : coarse_threads)
            if (coarse.diameter == size) return coarse.pitch_mm;
        return std::nullopt;
    }
    const auto diameter = positive(size.substr(0, cross_at));
    const auto pitch = positive(size.substr(cross_at + 1));
    return diameter && pitch && *pitch < *diameter ? pitch : std::nullopt;
}

std::optional<double> inch_pitch_mm(std::string_view text) {
    const auto dash = text.find('-');
    if (dash == std::string_view::npos) return std::nullopt;
    const std::string_view size = text.substr(0, dash);
    const auto slash = size.find('/');
    const bool whole = slash == std::string_view::npos;
    const auto numerator = positive(whole ? size : size.substr(0, slash));
    const auto denominator = whole ? std::optional<double>(1.0) : positive(size.substr(slash + 1));
    const auto per_inch = positive(text.substr(dash + 1));
    if (!numerator || !denominator || !per_inch) return std::nullopt;
    return mm_per_inch / *per_inch;
}

}  // namespace

std::optional<double> thread_pitch_mm(const std::string& designation) {
    const std::string_view text = designation;
    if (text.empty()) return std::nullopt;
    return text.front() == 'M' ? metric_pitch_mm(text.substr(1)) : inch_pitch_mm(text);
}

std::string shim_fault(double mm) {
    constexpr double thinnest_mm = 0.001, thickest_mm = 1000.0;
    if (!(mm > 0.0)) return "a shim is thicker than 0 mm";
    return mm >= thinnest_mm && mm <= thickest_mm ? "" : "a shim is 0.001 to 1000 mm thick";
}

double Thread::lead_mm() const {
    switch (ends) {
        case Ends::one:
            return pitch_mm;
        case Ends::left_and_right:
            return 2.0 * pitch_mm;
        case Ends::same_hand:
            return pitch_mm - second_pitch_mm;
    }
    return pitch_mm;
}

double Stack::total_mm() const { return std::accumulate(fitted_mm.begin(), fitted_mm.end(), 0.0); }

double Adjuster::amount_mm() const {
    if (const Thread* rod = thread()) return rod->now_turns * rod->lead_mm();
    return stack()->total_mm() - stack()->drawn_with_mm;
}

std::optional<Length> Adjuster::length() const {
    if (changes.size() != 1) return std::nullopt;
    const Length* length = std::get_if<Length>(&changes.front().what);
    return length ? std::optional<Length>(*length) : std::nullopt;
}

}  // namespace shimwise
