#include "shimwise/workshop/measure/as_read.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

std::vector<double> thickest_first(std::vector<double> shims) {
    std::sort(shims.begin(), shims.end(), std::greater<>());
    return shims;
}

void read_shims(const Corner& corner, const CornerReadings& readings, Settings& settings,
                std::vector<std::string>& notes) {
    for (const auto& [name, shims] : readings.shims_mm) {
        const auto at = corner.find(name);
        const Stack* stack = at ? corner.adjusters[*at].stack() : nullptr;
        if (!stack || thickest_first(shims) == thickest_first(stack->fitted_mm)) continue;
        const std::string key = adjuster_key(corner.id, name);
        settings.shims_mm[key] = shims;
        notes.push_back(key + ": " + pack_words(shims) + " is fitted as read, " + pack_words(stack->fitted_mm) +
                        " in the settings: the reading is used; check the box of shims too.");
    }
}

/// The adjuster that turns a length, and the length with that adjuster as drawn and all others as they stand.
struct Turned {
    const Adjuster* adjuster = nullptr;
    double others_mm = 0.0;
};

Turned turned(const Corner& corner, Length length, double drawn_mm) {
    Turned t{nullptr, drawn_mm};
    for (const Adjuster& adjuster : corner.adjusters) {
        if (adjuster.length() != length) continue;
        if (!t.adjuster && adjuster.thread())
            t.adjuster = &adjuster;
        else
            t.others_mm += adjuster.amount_mm();
    }
    return t;
}

void read_lengths(const Car& car, const Corner& corner, const CornerReadings& readings, Settings& settings,
                  std::vector<std::string>& notes) {
    for (const auto& [length, mm] : readings.lengths_mm) {
        const auto drawn_mm = drawn_length_mm(car, corner.id, length);
        if (!drawn_mm) continue;
        const Turned t = turned(corner, length, *drawn_mm);
        const double now_mm = t.others_mm + (t.adjuster ? t.adjuster->amount_mm() : 0.0);
        if (std::fabs(mm - now_mm) <= same_length_mm) continue;
        const std::string key = adjuster_key(corner.id, std::string(length_names[index(length)]));
        const std::string says =
            key + ": " + mm_words(mm) + " eye to eye as read, " + mm_words(now_mm) + " by the settings: ";
        if (t.adjuster) {
            settings.turns[adjuster_key(corner.id, t.adjuster->name)] =
                (mm - t.others_mm) / t.adjuster->thread()->lead_mm();
            notes.push_back(says + "the reading is used.");
        } else {
            notes.push_back(says + "no thread of the corner turns it, so the drawing is kept.");
        }
    }
}

}  // namespace

std::string adjuster_key(CornerId id, const std::string& name) {
    return std::string(corner_names[index(id)]) + "." + name;
}

Settings settings_read(const Car& car, const Readings& readings, std::vector<std::string>& notes) {
    Settings settings;
    settings.file = readings.file;
    settings.car = car.name;
    for (const Corner& corner : car.corners) {
        const CornerReadings& read = readings.corners[index(corner.id)];
        read_shims(corner, read, settings, notes);
        read_lengths(car, corner, read, settings, notes);
    }
    return settings;
}

Car as_read(Car car, const Settings& read) {
    if (read.car != car.name)
        throw InputError(
            {{"", 0, 0, "measured", "", "was read of \"" + read.car + "\", this car is \"" + car.name + "\""}});
    for (Corner& corner : car.corners)
        for (Adjuster& adjuster : corner.adjusters) {
            const std::string key = adjuster_key(corner.id, adjuster.name);
            if (Thread* thread = std::get_if<Thread>(&adjuster.setting)) {
                if (const auto turns = read.turns.find(key); turns != read.turns.end())
                    thread->now_turns = turns->second;
            } else if (const auto shims = read.shims_mm.find(key); shims != read.shims_mm.end()) {
                std::get<Stack>(adjuster.setting).fitted_mm = shims->second;
            }
        }
    return car;
}

Car as_read(const Car& car, const Readings& readings, std::vector<std::string>& notes) {
    return as_read(car, settings_read(car, readings, notes));
}

}  // namespace shimwise
