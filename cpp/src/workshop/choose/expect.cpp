#include "shimwise/workshop/choose/expect.hpp"

#include <stdexcept>

#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/spread.hpp"

namespace shimwise {
namespace {

std::string pack_change_words(const Car& car, const AdjusterPlace& place, const Stack& before, const Stack& after) {
    if (all_at_hand(car, place, after.fitted_mm)) return shims_words(repacked(before.fitted_mm, after.fitted_mm));
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
                                    : pack_change_words(car, {before.id, a}, *was.stack(), *is.stack());
        turned.minutes = was.minutes;
        all.push_back(std::move(turned));
    }
    return all;
}

void demand_same_adjusters(const Car& before, const Car& after) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& was = before.corners[c].adjusters;
        const auto& is = after.corners[c].adjusters;
        bool same = was.size() == is.size();
        for (std::size_t a = 0; same && a < was.size(); ++a)
            same = was[a].name == is[a].name && was[a].setting.index() == is[a].setting.index();
        if (!same) throw std::invalid_argument("expect: the car after has other adjusters than the car before");
    }
}

void demand_same_car(const Measured& measured, const Car& before, const Car& after) {
    const Settings stood = settings_of(as_read(before, measured.read));
    const Settings given = settings_of(before);
    if (stood.turns != given.turns || stood.shims_mm != given.shims_mm)
        throw std::invalid_argument("expect: the car before does not stand as it was read");
    demand_same_adjusters(before, after);
}

}  // namespace

std::vector<TurnedAdjuster> turned_between(const Car& before, const Car& after) {
    demand_same_adjusters(before, after);
    std::vector<TurnedAdjuster> all;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (TurnedAdjuster& one : turned_at(before, before.corners[c], after.corners[c]))
            all.push_back(std::move(one));
    return all;
}

Expected expect(const Measured& measured, const Car& before, const Car& after) {
    demand_same_car(measured, before, after);
    Expected expected;
    expected.car = before.name;
    expected.frame = frame_words(measured.ground);
    WholeCarChange whole = whole_car_change(measured, before, after);
    OfCorners missed{};
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
        for (const Output output : {Output::toe, Output::camber})
            missed[c][index(output)] = missed_variance(was, after.corners[c], output);
        for (const TurnedAdjuster& turned : corner.turned) expected.minutes += turned.minutes;
    }
    expected.totals = expected_totals(measured, whole.change, missed);
    expected.notes.push_back(whole_car_words(whole, before));
    expected.held = whole.held;
    expected.car_values = std::move(whole.values);
    expected.notes.insert(expected.notes.end(), measured.notes.begin(), measured.notes.end());
    return expected;
}

}  // namespace shimwise
