#include "shimwise/workshop/choose/explained.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "math/decompositions.hpp"
#include "shimwise/error.hpp"
#include "shimwise/math/chi_square.hpp"
#include "shimwise/rest/rates.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/level.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/spread.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// All by which a car stands as it does, beside what never changes.
struct Stance {
    std::map<std::string, double> ballast_kg;
    std::array<bool, 2> bars_on{};
    bool struts_solid = false;
    PadHeights pads_mm{};
    Car set;  // whose settings count
};

Stance stance_of(const Measured& measured, const Car& car) {
    Stance s;
    for (const Ballast& ballast : car.ballast) s.ballast_kg[ballast.name] = ballast.now_kg;
    for (const auto& [name, kg] : measured.ballast_kg) s.ballast_kg[name] = kg;
    const Car stood = as_it_stood(car, measured);
    for (std::size_t axle = 0; axle < 2; ++axle) s.bars_on[axle] = stood.bars[axle] && stood.bars[axle]->connected;
    s.struts_solid = measured.struts_solid;
    s.pads_mm = measured.given.pad_height_mm.value_or(PadHeights{});
    s.set = car;
    return s;
}

/// The model of one car in any stance, and what each of the differences is by it.
class Modelled {
public:
    Modelled(const Car& car, const std::vector<Difference>& values) : car_(car), values_(values) {}

    RestModel model(const Stance& s) const {
        Car car = car_;
        for (std::size_t axle = 0; axle < 2; ++axle)
            if (car.bars[axle]) car.bars[axle]->connected = s.bars_on[axle];
        RestModel m = with_ballast(rest_model(car), s.ballast_kg);
        for (std::size_t c = 0; c < corner_count; ++c) m.setups[c].amounts_mm = s.set.corners[c].amounts_mm();
        return m;
    }

    /// Of each difference, NaN where the model does not have it.
    VectorXd values(const Stance& s) const {
        const RestModel m = model(s);
        if (!s.struts_solid) return picked(rest_outputs(m), row_of(rest(m, s.pads_mm).values, rest_outputs(m)));
        const RestState state = on_solid_struts(m, s.pads_mm, drawn_struts_mm(m.car)).stands;
        return picked(solid_outputs(m), row_of(state.values, solid_outputs(m)));
    }

    struct Rates {
        std::vector<RestVariable> variables;
        MatrixXd by;  // rows as the differences
    };
    Rates rates(const Stance& s) const {
        const RestModel m = model(s);
        Rates all{rest_variables(m), {}};
        std::vector<ValueId> outputs;
        MatrixXd by;
        if (s.struts_solid) {
            outputs = solid_outputs(m);
            const RestState state = on_solid_struts(m, s.pads_mm, drawn_struts_mm(m.car)).stands;
            by = solid_rates(m, state, s.pads_mm, outputs, all.variables);
        } else {
            outputs = rest_outputs(m);
            by = rest_rates(m, rest(m, s.pads_mm), s.pads_mm, outputs, all.variables);
        }
        all.by.resize(static_cast<Index>(values_.size()), by.cols());
        for (Index v = 0; v < by.cols(); ++v) all.by.col(v) = picked(outputs, by.col(v));
        return all;
    }

private:
    static VectorXd row_of(const RestValues<double>& values, const std::vector<ValueId>& outputs) {
        const std::vector<double> all = row(values, outputs);
        return Eigen::Map<const VectorXd>(all.data(), static_cast<Index>(all.size()));
    }

    VectorXd picked(const std::vector<ValueId>& outputs, const VectorXd& of) const {
        const auto one = [&](const ValueId& id) {
            const auto at = std::ranges::find(outputs, id);
            return at == outputs.end() ? std::nan("") : of(at - outputs.begin());
        };
        VectorXd all(static_cast<Index>(values_.size()));
        for (std::size_t i = 0; i < values_.size(); ++i) {
            double& value = all(static_cast<Index>(i));
            const ValueId& id = values_[i].id;
            const ValueInfo& sum = info(id);
            value = one(id);
            if (sums_wheels(sum))  // these sums no table of the car at rest repeats
                value =
                    sum_over_wheels(sum, [&](std::size_t c) { return one({static_cast<CornerId>(c), sum.sum_of}); });
            if (!id.is(CarOutput::total_weight)) continue;
            value = 0.0;
            for (std::size_t c = 0; c < corner_count; ++c) value += one({static_cast<CornerId>(c), CornerLoad::weight});
        }
        return all;
    }

    const Car& car_;
    const std::vector<Difference>& values_;
};

std::string pads_words(const PadHeights& was_mm, const PadHeights& is_mm) {
    std::vector<std::string> moved;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (was_mm[c] != is_mm[c])
            moved.push_back(spaced_words(corner_names[c]) + " " + signed_words(is_mm[c] - was_mm[c], 2));
    return "pads, higher by: " + listed_words(moved) + " mm";
}

/// How the values follow from the inputs that are pads: as they were reduced, less what pads do to the car.
MatrixXd less_pads(const Measured& measured, MatrixXd by_inputs, const Modelled::Rates& rates) {
    const auto first = std::ranges::find(measured.inputs, InputKind::pad, &InputQuantity::kind);
    if (first == measured.inputs.end()) return by_inputs;
    MatrixXd by_pads = MatrixXd::Zero(by_inputs.rows(), static_cast<Index>(corner_count));
    for (std::size_t v = 0; v < rates.variables.size(); ++v)
        if (rates.variables[v].of == RestVariable::Of::pad)
            by_pads.col(static_cast<Index>(rates.variables[v].corner)) = rates.by.col(static_cast<Index>(v));
    const MatrixXd pads = pads_by_inputs(measured.given);
    by_inputs.middleCols(first - measured.inputs.begin(), pads.cols()) -= by_pads * pads;
    return by_inputs;
}

/// What the pads, taken for others than they are, make of the values that were reduced with them.
MatrixXd reduced_by_pads(const Measured& measured, const MatrixXd& by_inputs) {
    MatrixXd by_pads = MatrixXd::Zero(by_inputs.rows(), static_cast<Index>(corner_count));
    const auto first = std::ranges::find(measured.inputs, InputKind::pad, &InputQuantity::kind);
    if (first == measured.inputs.end()) return by_pads;
    const MatrixXd pads = pads_by_inputs(measured.given);
    const MatrixXd by_them = by_inputs.middleCols(first - measured.inputs.begin(), pads.cols());
    constexpr double dependent = 1e-9;
    for (Index i = 0; i < by_pads.rows(); ++i)
        by_pads.row(i) = shortest(pads.transpose(), by_them.row(i).transpose(), dependent).transpose();
    return by_pads;
}

class Explaining {
public:
    Explaining(const Measured& old, const Car& was, const Measured& now, const Car& is)
        : old_(old), was_(was), now_(now), is_(is) {
        e_.differences = differences(old, now, is);
        e_.turned = turned_between(was, is);
        known_.assign(values().size(), true);
    }

    Explained done() {
        try {
            at_rest();
        } catch (const OutOfReach& failure) {
            e_.causes.clear();
            contacts_held(failure.what());
        }
        leave();
        return std::move(e_);
    }

private:
    const std::vector<Difference>& values() const { return e_.differences.values; }
    Index count() const { return static_cast<Index>(values().size()); }

    void at_rest() {
        e_.held = now_.struts_solid && old_.struts_solid ? CarHeld::spring : CarHeld::rest;
        const Modelled by(was_, values());
        Stance stands = stance_of(old_, was_);
        const Stance then = stance_of(now_, is_), first = stands;
        VectorXd value = by.values(stands);
        const auto step = [&](Cause::Kind kind, const std::string& words, std::string name = {}) {
            if (name.empty()) name = cause_names[index(kind)];
            VectorXd next = by.values(stands);
            e_.causes.push_back({kind, std::move(name), words, next - value});
            value = std::move(next);
        };
        for (const auto& [name, kg] : then.ballast_kg) {
            const double before = stands.ballast_kg.at(name);
            if (before == kg) continue;
            stands.ballast_kg[name] = kg;
            step(Cause::Kind::ballast, name + " " + fixed_words(before, 1) + " -> " + fixed_words(kg, 1) + " kg", name);
        }
        if (stands.bars_on != then.bars_on) {
            stands.bars_on = then.bars_on;
            step(Cause::Kind::bars, now_.bars == BarsWere::on ? "bars on" : "bars off");
        }
        if (stands.struts_solid != then.struts_solid) {
            stands.struts_solid = then.struts_solid;
            step(Cause::Kind::struts, then.struts_solid ? "springs -> solid struts" : "solid struts -> springs");
        }
        if (stands.pads_mm != then.pads_mm) {
            stands.pads_mm = then.pads_mm;
            step(Cause::Kind::pads, pads_words(first.pads_mm, then.pads_mm));
        }
        if (!e_.turned.empty()) {
            stands.set = then.set;
            step(Cause::Kind::turns, turns_words());
        }
        for (Index i = 0; i < count(); ++i) known_[static_cast<std::size_t>(i)] = std::isfinite(value(i));
        for (Cause& cause : e_.causes)
            cause.by = cause.by.unaryExpr([](double d) { return std::isfinite(d) ? d : 0.0; });
        by_inputs_and_hands(by.rates(first), by.rates(then));
        if (old_.given.pad_height_mm.has_value() != now_.given.pad_height_mm.has_value())
            e_.notes.push_back(std::string("The pads of the ") + (old_.given.pad_height_mm ? "new" : "old") +
                               " sheet were not read: they are taken for level.");
    }

    void by_inputs_and_hands(Modelled::Rates before, Modelled::Rates after) {
        const auto nothing_unknown = [](double d) { return std::isfinite(d) ? d : 0.0; };
        before.by = before.by.unaryExpr(nothing_unknown);
        after.by = after.by.unaryExpr(nothing_unknown);
        e_.left_covariance = difference_covariance(old_, less_pads(old_, by_inputs_of(old_, values()), before), now_,
                                                   less_pads(now_, by_inputs_of(now_, values()), after));
        rates_ = after;
        const MatrixXd read = reduced_by_pads(now_, by_inputs_of(now_, values()));
        for (std::size_t v = 0; v < rates_.variables.size(); ++v)
            if (rates_.variables[v].of == RestVariable::Of::pad)
                rates_.by.col(static_cast<Index>(v)) -= read.col(static_cast<Index>(rates_.variables[v].corner));
        for (std::size_t v = 0; v < after.variables.size(); ++v) {
            const RestVariable& variable = after.variables[v];
            if (variable.of != RestVariable::Of::adjuster) continue;
            const Adjuster& adjuster = was_.corners[variable.corner].adjusters[variable.index];
            const std::size_t touched = moved(adjuster, is_.corners[variable.corner].adjusters[variable.index]);
            const VectorXd one = after.by.col(static_cast<Index>(v));
            e_.left_covariance += setting_variance_mm2(adjuster, touched) * one * one.transpose();
        }
    }

    /// Without springs and masses the chassis does not move, and each wheel answers to its own adjusters.
    void contacts_held(const std::string& why_not) {
        e_.held = CarHeld::contact;
        e_.left_covariance = e_.differences.covariance;
        VectorXd change = VectorXd::Zero(count());
        std::array<Outputs<double>, corner_count> by{};
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Outputs<double> after = outputs_on(now_.ground, is_.corners[c]),
                                  before = outputs_on(now_.ground, was_.corners[c]);
            for (std::size_t o = 0; o < output_count; ++o) by[c][o] = after[o] - before[o];
        }
        for (std::size_t i = 0; i < values().size(); ++i) {
            const ValueId& id = values()[i].id;
            known_[i] = info(id).kind == ValueKind::alignment;
            if (!known_[i]) continue;
            double& d = change(static_cast<Index>(i));
            if (id.of == ValueId::Of::corner) d = by[id.corner][id.index];
            if (id.of != ValueId::Of::car) continue;
            const ValueInfo& sum = info(id);
            d = sum_over_wheels(sum, [&](std::size_t c) { return by[c][index(sum.sum_of)]; });
        }
        if (!e_.turned.empty()) e_.causes.push_back({Cause::Kind::turns, "turns", turns_words(), change});
        e_.notes.push_back("The car at rest cannot be worked out: " + why_not +
                           ". Contacts are held instead: only what the turns do to toe and camber is explained.");
    }

    std::string turns_words() const {
        return e_.turned.size() == 1 ? "1 adjuster turned" : std::to_string(e_.turned.size()) + " adjusters turned";
    }

    void leave() {
        for (const Cause& cause : e_.causes)
            e_.left_covariance += std::pow(usual_model_share, 2) * cause.by * cause.by.transpose();
        std::vector<Index> counted;
        for (std::size_t i = 0; i < values().size(); ++i) {
            const auto at = static_cast<Index>(i);
            Left one{values()[i].by, std::sqrt(e_.left_covariance(at, at)), false, known_[i]};
            for (const Cause& cause : e_.causes) one.by -= cause.by(at);
            one.unexplained = std::abs(one.by) > beyond_noise * one.u;
            if (!values()[i].derived && known_[i]) counted.push_back(at);
            e_.left.push_back(one);
        }
        together(counted);
    }

    void together(const std::vector<Index>& counted) {
        if (counted.empty()) return;
        const auto L = cholesky(e_.left_covariance(counted, counted));
        if (!L) return;
        MatrixXd left(static_cast<Index>(counted.size()), 1);
        for (std::size_t i = 0; i < counted.size(); ++i)
            left(static_cast<Index>(i), 0) = e_.left[static_cast<std::size_t>(counted[i])].by;
        e_.degrees = static_cast<int>(counted.size());
        const MatrixXd white = solve_lower(*L, left);
        e_.chi_square = white.squaredNorm();
        e_.p = chi_square_above(e_.chi_square, e_.degrees);
        if (e_.p < unlikely) guess(counted, *L, white.col(0));
    }

    void guess(const std::vector<Index>& counted, const MatrixXd& L, const VectorXd& left) {
        std::vector<Guess> all;
        for (std::size_t v = 0; v < rates_.variables.size(); ++v) {
            const RestVariable& variable = rates_.variables[v];
            if (variable.of == RestVariable::Of::rack) continue;
            const VectorXd effect = rates_.by(counted, static_cast<Index>(v));
            const VectorXd by = solve_lower(L, effect).col(0);
            const double square = by.squaredNorm();
            if (!(square > 0.0)) continue;
            Guess one;
            one.amount = by.dot(left) / square;
            one.u = 1.0 / std::sqrt(square);
            const double takes = std::pow(one.amount / one.u, 2);
            if (!(takes >= guess_takes)) continue;
            one.key = variable.key;
            one.unit = variable.of == RestVariable::Of::ballast ? "kg" : "mm";
            one.chi_square = std::max(0.0, e_.chi_square - takes);
            one.p = chi_square_above(one.chi_square, e_.degrees - 1);
            one.words = guess_words(variable, one.amount);
            all.push_back(std::move(one));
        }
        std::ranges::stable_sort(all, {}, &Guess::chi_square);
        for (Guess& one : all)
            if (e_.guesses.size() < most_guesses && one.chi_square <= all.front().chi_square + guess_apart)
                e_.guesses.push_back(one);
    }

    std::string guess_words(const RestVariable& variable, double amount) const {
        const std::string so_much = fixed_words(std::abs(amount), 1);
        const std::string name = variable.key.substr(variable.key.find('.') + 1);
        if (variable.of == RestVariable::Of::ballast)
            return name + ": " + so_much + " kg " + (amount > 0.0 ? "more" : "less") + " than said";
        if (variable.of == RestVariable::Of::pad)
            return "pad " + spaced_words(name) + ": " + so_much + " mm " + (amount > 0.0 ? "higher" : "lower") +
                   " than said";
        const Adjuster& adjuster = is_.corners[variable.corner].adjusters[variable.index];
        const std::string place = spaced_words(corner_names[variable.corner]) + " " + name + ": ";
        if (const Thread* thread = adjuster.thread())
            return place + shimwise::turns_words(adjuster, std::round(amount / thread->lead_mm() * 100.0) / 100.0) +
                   " than said";
        return place + thickness_words(std::round(amount * 100.0) / 100.0) + " than said";
    }

    static constexpr double unlikely = 0.05;

    const Measured& old_;
    const Car& was_;
    const Measured& now_;
    const Car& is_;
    Explained e_;
    std::vector<bool> known_;  // by the model
    Modelled::Rates rates_;    // of what is left, by what nobody said; none where contacts are held
};

}  // namespace

Explained explain(const Measured& old, const Car& was, const Measured& now, const Car& is) {
    return Explaining(old, was, now, is).done();
}

}  // namespace shimwise
