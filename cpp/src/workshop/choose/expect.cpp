#include "shimwise/workshop/choose/expect.hpp"

#include <cmath>
#include <stdexcept>

#include "shimwise/model/limits.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/choose/stock.hpp"
#include "shimwise/workshop/choose/tried.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/setting_variance.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using PerCorner = std::array<double, corner_count>;

std::string key_of(const Corner& corner, Output output) {
    return std::string(corner_names[index(corner.id)]) + "." + std::string(output_list[index(output)].name);
}

/// Shims that go in or out; 1 of a thread that stands differently.
std::size_t moved(const Adjuster& before, const Adjuster& after) {
    if (const Thread* thread = before.thread()) return thread->now_turns != after.thread()->now_turns ? 1 : 0;
    return repacked(before.stack()->fitted_mm, after.stack()->fitted_mm).moved();
}

/// Variance of an output by what a hand misses at the adjusters that stand differently, independent of each other.
double missed_variance(const AsMeasured& before, const Corner& after, Output output) {
    double variance = 0.0;
    for (std::size_t a = 0; a < before.corner.adjusters.size(); ++a) {
        const Adjuster& adjuster = before.corner.adjusters[a];
        const double effect = before.rates.per_mm[a][index(output)];
        variance += effect * effect * setting_variance_mm2(adjuster, moved(adjuster, after.adjusters[a]));
    }
    return variance;
}

/// What comes anew with each reading: once in the one that was taken, once in the next.
double read_twice_variance(const Measured& measured, const std::string& key) {
    const auto i = static_cast<Index>(*measured.find(key));
    return 2.0 * measured.repeat_covariance(i, i);
}

std::string pack_change_words(const Car& car, const Stack& before, const Stack& after) {
    if (all_at_hand(car, before, after.fitted_mm)) return shims_words(repacked(before.fitted_mm, after.fitted_mm));
    return thickness_words(after.total_mm() - before.total_mm(), after.total_mm());
}

std::vector<TurnedAdjuster> turned_at(const Car& car, const Corner& before, const Corner& after) {
    std::vector<TurnedAdjuster> all;
    for (std::size_t a = 0; a < before.adjusters.size(); ++a) {
        const Adjuster& was = before.adjusters[a];
        const Adjuster& is = after.adjusters[a];
        if (moved(was, is) == 0) continue;
        TurnedAdjuster turned;
        turned.key = adjuster_key(before.id, was.name);
        turned.before = present_setting(was);
        turned.after = present_setting(is);
        turned.words = was.thread() ? turns_words(was, turned.after - turned.before)
                                    : pack_change_words(car, *was.stack(), *is.stack());
        turned.minutes = was.minutes;
        all.push_back(std::move(turned));
    }
    return all;
}

void demand_same_car(const Measured& measured, const Car& before, const Car& after) {
    const Settings stood = settings_of(as_read(before, measured.read));
    const Settings given = settings_of(before);
    if (stood.turns != given.turns || stood.shims_mm != given.shims_mm)
        throw std::invalid_argument("expect: the car before does not stand as it was read");
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& was = before.corners[c].adjusters;
        const auto& is = after.corners[c].adjusters;
        bool same = was.size() == is.size();
        for (std::size_t a = 0; same && a < was.size(); ++a)
            same = was[a].name == is[a].name && was[a].setting.index() == is[a].setting.index();
        if (!same) throw std::invalid_argument("expect: the car after has other adjusters than the car before");
    }
}

}  // namespace

AsMeasured as_measured(const Measured& measured, const Corner& corner) {
    const Ground& ground = measured.ground;
    return {corner, outputs_on(ground, corner), rates(setup(corner), ground.hold(), ground.held_value(), ground.frame)};
}

Expectation expectation(const Measured& measured, const AsMeasured& before, const Corner& after,
                        const Outputs<double>& change) {
    const std::size_t c = index(after.id);
    const auto value = [&](Output output) -> std::optional<double> {
        const auto read = measured.value(key_of(after, output));
        if (!read) return std::nullopt;
        return *read + change[index(output)];
    };
    const auto deviation = [&](Output output) {
        return std::sqrt(read_twice_variance(measured, key_of(after, output)) + missed_variance(before, after, output));
    };
    Expectation e;
    e.toe_deg = value(Output::toe);
    e.camber_deg = value(Output::camber);
    if (e.toe_deg) {
        const double span = after.wheel.flag_span_mm;
        e.toe_deviation_deg = deviation(Output::toe);
        e.flag_difference_mm = flag_difference_mm(*e.toe_deg, measured.string_angle_deg[c], span);
        e.flag_deviation_mm = span * *e.toe_deviation_deg * rad_per_deg *
                              std::cos((*e.toe_deg + measured.string_angle_deg[c]) * rad_per_deg);
    }
    if (e.camber_deg) {
        e.camber_deviation_deg = deviation(Output::camber);
        e.gauge_deg =
            measured.gauge_zero_deg[c] +
            inclination_from_camber(*e.camber_deg,
                                    e.toe_deg.value_or(before.model[index(Output::toe)] + change[index(Output::toe)]),
                                    measured.ground.plumb, after.id);
    }
    return e;
}

std::vector<ExpectedTotal> expected_totals(const Measured& measured, const PerCorner& toe_change_deg,
                                           const PerCorner& missed_deg2) {
    struct Total {
        const char* key;
        PerCorner share;
    };
    static constexpr std::array<Total, 3> all = {{{"total_toe_front", {1.0, 1.0, 0.0, 0.0}},
                                                  {"total_toe_rear", {0.0, 0.0, 1.0, 1.0}},
                                                  {"thrust_angle", {0.0, 0.0, 0.5, -0.5}}}};
    std::vector<ExpectedTotal> totals;
    for (const auto& [key, share] : all) {
        const auto now = measured.value(key);
        if (!now) continue;
        double change = 0.0;
        double variance = read_twice_variance(measured, key);
        for (std::size_t c = 0; c < corner_count; ++c) {
            change += share[c] * toe_change_deg[c];
            variance += share[c] * share[c] * missed_deg2[c];
        }
        totals.push_back({key, *now, *now + change, std::sqrt(variance)});
    }
    return totals;
}

Expected expect(const Measured& measured, const Car& before, const Car& after) {
    demand_same_car(measured, before, after);
    Expected expected;
    expected.car = before.name;
    expected.frame = frame_words(measured.ground);
    WholeCarChange whole = whole_car_change(measured, before, after);
    PerCorner toe_change_deg{}, missed_deg2{};
    for (std::size_t c = 0; c < corner_count; ++c) {
        const AsMeasured was = as_measured(measured, before.corners[c]);
        const Outputs<double>& change = whole.change[c];
        ExpectedCorner& corner = expected.corners[c];
        corner.corner = static_cast<CornerId>(c);
        corner.turned = turned_at(before, before.corners[c], after.corners[c]);
        corner.model_now = was.model;
        for (std::size_t o = 0; o < output_count; ++o) corner.model_then[o] = was.model[o] + change[o];
        corner.now = expectation(measured, was, before.corners[c], {});
        corner.then = expectation(measured, was, after.corners[c], change);
        toe_change_deg[c] = change[index(Output::toe)];
        missed_deg2[c] = missed_variance(was, after.corners[c], Output::toe);
        for (const TurnedAdjuster& turned : corner.turned) expected.minutes += turned.minutes;
    }
    expected.totals = expected_totals(measured, toe_change_deg, missed_deg2);
    expected.notes.push_back(whole_car_words(whole, before));
    expected.held = std::move(whole.held);
    expected.car_values = std::move(whole.values);
    expected.notes.insert(expected.notes.end(), measured.notes.begin(), measured.notes.end());
    return expected;
}

}  // namespace shimwise
