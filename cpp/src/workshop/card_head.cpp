#include "workshop/card_head.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/differences.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/card_lines.hpp"

namespace shimwise {
namespace {

const PlannedValue* planned(const Choice& choice, const ValueId& id) {
    const auto found = std::ranges::find(choice.values, id, &PlannedValue::id);
    return found == choice.values.end() ? nullptr : &*found;
}

/// Whether it is the toe of a wheel whose axle's total toe is asked for: to move it is what is asked.
bool in_asked_total_toe(const Choice& choice, const ValueId& id) {
    if (!id.is(Output::toe)) return false;
    const bool front = is_front(static_cast<CornerId>(id.corner));
    const PlannedValue* total = planned(choice, front ? CarOutput::total_toe_front : CarOutput::total_toe_rear);
    return total && total->is_target();
}

std::string minutes_words(double minutes) {
    return fixed_words(minutes, 0) + (std::lround(minutes) == 1 ? " minute" : " minutes");
}

/// No more than what was read can be judged, and what was not is counted.
std::string verdict(const Plan& plan, const Choice& choice) {
    const bool inside = std::ranges::all_of(
        choice.values, [](const PlannedValue& value) { return !value.is_target() || value.within; });
    const std::string predicted = choice.touches ? " by prediction" : "";
    if (judges_all(plan)) {
        if (std::ranges::none_of(choice.values, &PlannedValue::is_target)) return "nothing is asked for";
        const auto was_read = [](const PlannedValue& value) { return value.is_target() && value.measured; };
        if (std::ranges::none_of(choice.values, was_read))
            return (inside ? "inside every limit" : "NOT inside every limit") + predicted +
                   " of the model alone: nothing that is asked for is read";
        return (inside ? "inside every tolerance" : "NOT inside every tolerance") + predicted;
    }
    const std::size_t of_all = judged(plan);
    const std::string which = plan.unpredicted.empty() ? "was read" : "is judged";
    if (of_all == 0) return "nothing that is asked for " + which;
    const std::string counted =
        std::to_string(of_all) + " of " + std::to_string(of_all + plan.unread.size() + plan.unpredicted.size()) +
        " targets " + (plan.unpredicted.empty() ? "were read" : "are, as the car does not stand by the model");
    return (inside ? "inside the tolerances of what " + which + (choice.touches ? "," : "")
                   : std::string("NOT inside every tolerance")) +
           predicted + "; " + counted;
}

std::string chance_words(const BoxProbability& chance) { return fixed_words(chance.value, 2); }

int decimals_of(std::string_view unit) { return unit == "deg" || unit == "percent" ? 2 : 1; }

std::string moved_words(const ValueId& id, std::optional<double> read, double by) {
    const ValueInfo& of = info(id);
    const int decimals = decimals_of(of.unit);
    const std::string unit(of.unit == "percent" ? "%" : of.unit);
    const std::string name = value_words(key(id));
    if (read)
        return name + " from " + fixed_words(*read, decimals) + " to " + fixed_words(*read + by, decimals) + " " + unit;
    const std::string_view way = by > 0.0 ? of.plus : of.minus;
    return name + " by " + fixed_words(std::fabs(by), decimals) + " " + unit + " " + std::string(way);
}

/// In the unit in which a value is wanted.
class InUnit {
public:
    InUnit(const ValueId& id, const Target* target) : unit_(info(id).unit) {
        if (!target || !target->flag_span_mm) return;
        span_mm_ = *target->flag_span_mm;
        unit_ = "mm";
    }
    std::string unit() const { return unit_; }
    std::optional<double> value(const std::optional<double>& of) const {
        return of && span_mm_ > 0.0 ? std::optional(flag_difference_mm(*of, 0.0, span_mm_)) : of;
    }
    /// A small difference about `at`.
    std::optional<double> spread(const std::optional<double>& of, double at) const {
        if (!of || !(span_mm_ > 0.0)) return of;
        return span_mm_ * std::cos(at * rad_per_deg) * *of * rad_per_deg;
    }

private:
    std::string unit_;
    double span_mm_ = 0.0;
};

CardValue card_value(const ValueId& id, const Target* target, const Plan& plan, const Choice& choice,
                     const CardWalk& walk) {
    const InUnit in(id, target);
    const PlannedValue* value = planned(choice, id);
    const auto read = plan.measured.value(id);
    const std::optional<double> now = read ? read : value ? std::optional(value->now) : std::nullopt;
    const auto by = walk.change(id);
    const std::optional<double> then = value       ? std::optional(value->then)
                                       : now && by ? std::optional(*now + *by)
                                                   : std::nullopt;
    CardValue row;
    row.key = key(id);
    row.unit = in.unit();
    row.measured = in.value(read);
    row.now = in.value(now);
    row.uncertainty = in.spread(plan.measured.uncertainty(id), now.value_or(0.0));
    row.then = in.value(then);
    if (const auto deviation = walk.deviation(id); deviation && then) row.window = in.spread(2.0 * *deviation, *then);
    if (value) {
        row.judged = true;
        row.asks = value->asks;
    }
    if (target) {
        row.value = in.value(target->value);
        if (target->value) row.tolerance = in.value(target->tolerance);
        row.least = in.value(target->least);
        row.most = in.value(target->most);
        row.tolerance_is_common_practice = target->tolerance_is_common_practice;
        if (then && (!value || value->is_target())) row.within = meets(*target, *then);  // no verdict of what is unread
    }
    return row;
}

std::string count_of(double plans) {
    constexpr double told = 1e15;  // beyond it not every whole number is one
    if (!(plans < told)) return "more than 10^15";
    std::string digits = fixed_words(plans, 0);
    for (std::size_t at = digits.size(); at > 3;) {
        at -= 3;
        digits.insert(at, ",");
    }
    return digits;
}

std::string of_closest(const Choice& closest) {
    const Proof& proof = closest.proof;
    if (!(proof.combinations > 1.0)) return "nothing may be turned for what is asked, so there is no other plan";
    const std::string among = count_of(proof.combinations) + " plans";
    constexpr double told = 5e-4;
    if (!proof.proven && closest.cost - proof.bound < told)
        return "not proven to the last: no plan among " + among + " is better by as much as 0.001 squared tolerances";
    if (proof.proven) return "nothing better among " + among + " within the model's error";
    return "not proven: it costs " + fixed_words(closest.cost, 3) + ", no plan costs less than " +
           fixed_words(proof.bound, 3) + " (squared tolerances), so a plan better by " +
           fixed_words(closest.cost - proof.bound, 3) + " may be among " + among;
}

}  // namespace

std::string card_title(const Plan& plan, const Choice& choice, Which which) {
    const std::string within = verdict(plan, choice);
    if (!choice.touches) return "Touch nothing: " + within + ".";
    return std::string(which == Which::closest ? "Closest plan" : "Least work") + ", " + minutes_words(choice.minutes) +
           ": " + within + ".";
}

std::string why_words(const Plan& plan, Which which, const Chances& chances) {
    const bool told = !plan.closest.next.ids.empty();
    const double saved = plan.least_work ? plan.closest.minutes - plan.least_work->minutes : 0.0;
    if (which == Which::nothing) {
        if (!plan.closest.touches)
            return plan.closest.proof.proven ? "No plan comes nearer to what is asked for."
                                             : "No plan was found that comes nearer to what is asked for.";
        return "The closest plan takes " + minutes_words(plan.closest.minutes) +
               (told ? " and would pass at " + chance_words(chances.closest) : std::string()) + ".";
    }
    if (which == Which::least_work) {
        std::string words = saved > 0.0 ? minutes_words(saved) + " less than the closest plan"
                                        : std::string("As good as the closest plan");
        if (told)
            words += ", which would pass at " + chance_words(chances.closest) + "; touching nothing at " +
                     chance_words(chances.nothing);
        return words + ".";
    }
    std::string words = plan.closest.proof.proven ? "Nothing comes nearer to what is asked for"
                                                  : "The nearest that was found to what is asked for";
    if (saved > 0.0)
        words +=
            "; least work saves " + minutes_words(saved) + " and would pass at " + chance_words(*chances.least_work);
    if (told) words += "; touching nothing at " + chance_words(chances.nothing);
    return words + ".";
}

std::vector<std::string> moves_unasked(const Plan& plan, const Choice& choice, const CardWalk& walk) {
    std::vector<ValueId> ids;
    for (const Output output : {Output::toe, Output::camber, Output::caster})
        for (std::size_t c = 0; c < corner_count; ++c) ids.emplace_back(static_cast<CornerId>(c), output);
    for (const Quantity& quantity : plan.measured.quantities)
        if (quantity.id.of != ValueId::Of::corner && !sums_wheels(info(quantity.id))) ids.push_back(quantity.id);
    std::vector<std::string> moves;
    for (const ValueId& id : ids) {
        if (in_asked_total_toe(choice, id)) continue;
        const PlannedValue* value = planned(choice, id);
        const auto tolerance = common_tolerance(id, walk.now());
        const auto by = walk.change(id);
        if ((value && value->is_target()) || !tolerance || !by || std::fabs(*by) <= *tolerance) continue;
        moves.push_back(moved_words(id, plan.measured.value(id), *by));
    }
    return moves;
}

std::vector<CardValue> card_values(const Plan& plan, const Choice& choice, const CardWalk& walk) {
    std::vector<CardValue> rows;
    for (const Comparison& row : plan.compared)
        if (row.target || !row.derived)
            rows.push_back(card_value(row.id, row.target ? &*row.target : nullptr, plan, choice, walk));
    return rows;
}

std::string proof_words(const Plan& plan, Which which) {
    if (which == Which::closest || (which == Which::nothing && !plan.closest.touches)) {
        std::string words = of_closest(plan.closest);
        words[0] = words[0] == 'n' ? 'N' : words[0];
        return words + ".";
    }
    if (which == Which::nothing) return "The closest plan: " + of_closest(plan.closest) + ".";
    return std::string(plan.least_work_proven ? "Fewer minutes are not enough"
                                              : "That fewer minutes are not enough is not proven") +
           ". The closest plan: " + of_closest(plan.closest) + ".";
}

}  // namespace shimwise
