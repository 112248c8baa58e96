#include "shimwise/workshop/measure/baseline.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/workshop/files/sheet.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/measure/baseline_of_car.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

[[noreturn]] void refuse(const std::string& file, const std::string& field, const std::string& rule) {
    throw InputError({{file, 0, 0, field, "", rule}});
}

bool blank(const std::string& text) { return text.find_first_not_of(" \t\n\r") == std::string::npos; }

std::optional<BarsWere> bars_of(const Measured& measured, const Car& car) {
    if (measured.bars) return measured.bars;
    for (const auto& bar : car.bars)
        if (bar) return bar->connected ? BarsWere::on : BarsWere::off;
    return std::nullopt;
}

}  // namespace

std::vector<BaselineValue> values_to_accept(const Measured& measured) {
    std::vector<BaselineValue> values;
    for (std::size_t i = 0; i < measured.quantities.size(); ++i) {
        const auto at = static_cast<Index>(i);
        const Quantity& quantity = measured.quantities[i];
        values.push_back({key(quantity.id), std::string(info(quantity.id).unit), measured.values.value(at),
                          std::sqrt(measured.values.covariance(at, at)), std::sqrt(measured.repeat_covariance(at, at)),
                          quantity.derived});
    }
    return values;
}

std::array<std::map<std::string, double>, corner_count> lengths_set(const Car& car) {
    std::array<std::map<std::string, double>, corner_count> lengths_mm;
    const Sheet fields = sheet(car);
    for (std::size_t c = 0; c < corner_count; ++c)
        for (const auto& [name, length] : fields.corners[c].lengths) lengths_mm[c][name] = length.now_mm;
    return lengths_mm;
}

Baseline accepted(const Readings& readings, const Car& given, const std::string& reason, const std::string& replaces) {
    if (blank(reason)) refuse("", "reason", "is empty: say why this state is accepted");
    const Measured measured = reduce(readings, given);
    if (measured.quantities.empty())
        refuse(readings.file, "", "nothing follows from this sheet: there is nothing to accept");
    const Settings now = settings_of(as_read(given, measured.read));
    const Car car = with_settings(given, now);

    Baseline b;
    b.car = car.name;
    b.reason = reason;
    b.place = readings.place;
    b.at = readings.at;
    b.version = SHIMWISE_VERSION;
    b.replaces = replaces;
    b.car_digest = digits(car.origin);
    b.sheet_digest = digits(origin_of(readings.text));
    b.sheet_file = readings.file;
    b.sheet = readings.text;
    b.instruments = readings.instruments;
    for (const Ballast& ballast : car.ballast) b.ballast_kg[ballast.name] = ballast.now_kg;
    for (const auto& [name, kg] : measured.ballast_kg) b.ballast_kg[name] = kg;
    b.bars = bars_of(measured, car);
    b.rack_locked = readings.rack_locked;
    b.struts_solid = readings.struts_solid;
    b.pads_mm = readings.pad_height_mm;
    b.settings = now;
    b.lengths_mm = lengths_set(car);
    b.values = values_to_accept(measured);
    std::vector<Index> base;
    for (std::size_t i = 0; i < b.values.size(); ++i)
        if (!b.values[i].derived) base.push_back(static_cast<Index>(i));
    b.covariance = measured.values.covariance(base, base);
    return b;
}

void save_baseline(const Baseline& baseline, const std::string& path) { write_new_file(path, baseline_text(baseline)); }

Car as_accepted(const Baseline& baseline, const Car& car) { return with_settings(car, baseline.settings); }

Readings readings_of(const Baseline& baseline, const Car& car) {
    Readings readings =
        readings_from({baseline.file + ": its sheet", baseline.sheet, true}, as_accepted(baseline, car));
    readings.origin = baseline.origin;
    return readings;
}

std::vector<std::string> baseline_notes(const Baseline& baseline, const Car& car) {
    std::vector<std::string> notes;
    if (baseline.car_digest != digits(car.origin))
        notes.push_back(baseline.file + ": the car file has changed since this was accepted (" + baseline.car_digest +
                        " then, " + digits(car.origin) + " now): its sheet is taken with the present one.");
    if (baseline.version != SHIMWISE_VERSION)
        notes.push_back(baseline.file + ": was written by version " + baseline.version + ".");
    return notes;
}

}  // namespace shimwise
