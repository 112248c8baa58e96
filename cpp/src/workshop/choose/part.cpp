#include "workshop/choose/part.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "math/decompositions.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double new_share = 0.02;  // of its own effect: what less of it is new follows from the others
// A purpose adds rank where one mm of it leaves more than this of its effect undone by the others, or costs them more
// than some 3 mm: platforms do what pushrods do, but toe links make camber by ten times their length only.
constexpr double adds_by_mm = 0.1;
constexpr double price_of_a_mm = 0.03;

const Adjuster& at(const Car& car, const AdjusterPlace& place) { return car[place.corner].adjusters[place.adjuster]; }

/// Directions that vectors span, one by one.
class Span {
public:
    /// Whether any of these is new; all of them belong to the span then.
    bool add(const MatrixXd& vectors) {
        bool any = false;
        for (Index i = 0; i < vectors.cols(); ++i) {
            VectorXd rest = vectors.col(i);
            const double size = rest.norm();
            if (!(size > 0.0)) continue;
            for (int twice = 0; twice < 2; ++twice)
                for (const VectorXd& direction : directions_) rest -= direction.dot(rest) * direction;
            if (!(rest.norm() > new_share * size)) continue;
            directions_.push_back(rest.normalized());
            any = true;
        }
        return any;
    }

private:
    std::vector<VectorXd> directions_;
};

/// Of all that is not forbidden, and not in `alone`.
std::vector<OfPurpose> purposes_of(const Car& car, const Selection& selection,
                                   const std::vector<AdjusterPlace>& alone) {
    std::map<Purpose, OfPurpose> all;
    for (const Corner& corner : car.corners)
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
            const AdjusterPlace place{corner.id, a};
            if (Selection::holds(selection.forbid, place) || Selection::holds(alone, place)) continue;
            OfPurpose& of = all[corner.adjusters[a].purpose];
            of.purpose = corner.adjusters[a].purpose;
            of.places.push_back(place);
            of.minutes += corner.adjusters[a].minutes;
        }
    std::vector<OfPurpose> purposes;
    for (auto& [purpose, of] : all) {
        of.minutes /= static_cast<double>(of.places.size());
        purposes.push_back(std::move(of));
    }
    std::stable_sort(purposes.begin(), purposes.end(),
                     [](const OfPurpose& a, const OfPurpose& b) { return a.minutes < b.minutes; });
    return purposes;
}

class Chooser {
public:
    Chooser(const Car& car, const Measured& measured, const Targets& targets, const Selection& selection, HeldCar& held)
        : car_(car), measured_(measured), targets_(targets), selection_(selection), held_(held) {
        for (std::size_t c = 0; c < corner_count; ++c) amounts_mm_[c] = car.corners[c].amounts_mm();
        state_ = *held.state(amounts_mm_);
    }

    Part chosen() {
        for (const std::vector<ValueId>& group : groups_of(car_)) collect(group);
        purposes_ = purposes_of(car_, selection_, left_alone());
        effects();
        settle_groups();
        settle_purposes();
        return std::move(part_);
    }

private:
    std::optional<double> by_model(const ValueId& id) const {
        if (!held_.has(id)) return std::nullopt;
        return value(state_.values, id);
    }

    /// What is known where nothing was read of the value itself.
    std::optional<double> without_reading(const ValueId& id) const {
        if (const auto toe = share_of_total_toe(id, measured_, targets_)) return toe;
        return answerable(id) ? by_model(id) : std::nullopt;
    }

    /// Adjusters of toe and camber of wheels where that was not read: turned for something else they would move it
    /// unseen.
    std::vector<AdjusterPlace> left_alone() {
        std::vector<AdjusterPlace> alone;
        std::vector<std::string> keys;
        for (const auto& [purpose, output] :
             {std::pair(Purpose::toe, Output::toe), std::pair(Purpose::camber, Output::camber)}) {
            if (!serves(purpose)) continue;
            for (const Corner& corner : car_.corners) {
                const ValueId id(corner.id, output);
                if (measured_.find(id) || without_reading(id)) continue;
                for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
                    const AdjusterPlace place{corner.id, a};
                    if (corner.adjusters[a].purpose != purpose || asked_to_turn(place)) continue;
                    alone.push_back(place);
                    keys.push_back(adjuster_key(corner.id, corner.adjusters[a].name));
                }
            }
        }
        if (!keys.empty())
            part_.notes.push_back("Left alone, as what it is turned for was not read there: " + listed_words(keys) +
                                  ".");
        return alone;
    }

    bool asked_to_turn(const AdjusterPlace& place) const {
        return Selection::holds(selection_.turn, place) ||
               std::any_of(selection_.force.begin(), selection_.force.end(),
                           [&](const auto& one) { return Selection::holds({one.first}, place); });
    }

    bool in(const std::vector<ValueId>& ids, const ValueId& id) const {
        return std::find(ids.begin(), ids.end(), id) != ids.end();
    }

    /// Whether it stays where nobody asks for it: toe and camber that were read, caster, heights and weights. Of the
    /// latter what was not read stays by the model: a plan for what was would move it unseen.
    bool kept_by_itself(const ValueId& id) const {
        if (in(selection_.free, id)) return false;
        if (in(selection_.keep, id)) return true;
        if (id.is(Output::caster)) return true;
        if (share_of_total_toe(id, measured_, targets_)) return true;
        const ValueKind kind = info(id).kind;
        if (kind == ValueKind::height || kind == ValueKind::weight) return true;
        return measured_.find(id) && (id.is(Output::toe) || id.is(Output::camber));
    }

    void collect(const std::vector<ValueId>& group) {
        std::vector<std::size_t> members;
        for (const ValueId& id : group) {
            if (!held_.has(id)) {
                if (target_of(targets_, id) && measured_.find(id)) part_.unpredicted.push_back(id);
                continue;
            }
            std::optional<Wanted> one;
            const bool stays = kept_by_itself(id);
            if (const auto target = target_of(targets_, id)) {
                one = wanted(id, *target, measured_, without_reading(id));
                if (one && stays) one = kept_too(std::move(*one), car_);
            }
            if (!one && stays) {
                const auto known = without_reading(id);
                one = kept(id, measured_, known ? known : by_model(id), car_);
            }
            if (!one) continue;
            if (one->asks == Asks::kept && id.is(Output::toe))
                one = kept_about(std::move(*one), one->now + 0.5 * asked_of_total_toe(id.corner));
            one->firm = in(selection_.keep, id);
            members.push_back(part_.wanted.size());
            part_.wanted.push_back(std::move(*one));
        }
        groups_.push_back(std::move(members));
    }

    /// By how much the total toe of a wheel's axle is to change, where that is asked for.
    double asked_of_total_toe(std::size_t corner) const {
        const ValueId total(is_front(static_cast<CornerId>(corner)) ? CarOutput::total_toe_front
                                                                    : CarOutput::total_toe_rear);
        const auto target = target_of(targets_, total);
        const auto now = measured_.value(total);
        return target && target->value && now ? *target->value - *now : 0.0;
    }

    /// What nobody reads is the model's own: caster, torque of a bar that is connected.
    bool answerable(const ValueId& id) const {
        if (info(id).needs == ValueNeeds::bar) {
            const auto& bar = car_.bars[*info(id).axle];
            return bar && (measured_.bars ? measured_.bars == BarsWere::on : bar->connected);
        }
        return info(id).by_model;
    }

    /// Of a millimetre, or of a step where that is known by `step_mm`, in tolerances.
    void effects() {
        for (const OfPurpose& of : purposes_) places_.insert(places_.end(), of.places.begin(), of.places.end());
        std::vector<ValueId> ids;
        for (const Wanted& one : part_.wanted) ids.push_back(one.id);
        effect_ = held_.per_mm(amounts_mm_, state_, ids, places_);
        for (std::size_t w = 0; w < part_.wanted.size(); ++w)
            effect_.row(static_cast<Index>(w)) /= part_.wanted[w].scale;
        per_mm_ = effect_;
        for (std::size_t p = 0; p < places_.size(); ++p)
            effect_.col(static_cast<Index>(p)) *= hand_step_mm(car_, at(car_, places_[p]));
    }

    bool serves(Purpose purpose) const {
        for (const Wanted& one : part_.wanted) {
            if (info(one.id).purpose != purpose || !one.is_target()) continue;
            if (one.target.value || !meets(one.target, one.now)) return true;
        }
        return false;
    }

    std::vector<Index> columns_of(const std::vector<AdjusterPlace>& of) const {
        std::vector<Index> columns;
        for (std::size_t p = 0; p < places_.size(); ++p)
            if (Selection::holds(of, places_[p])) columns.push_back(static_cast<Index>(p));
        return columns;
    }

    /// What is turned for camber being forbidden, camber takes no pushrods from the heights.
    std::vector<std::vector<std::size_t>> those_with_adjusters_first() const {
        std::vector<std::vector<std::size_t>> groups = groups_;
        std::stable_partition(groups.begin(), groups.end(), [&](const std::vector<std::size_t>& group) {
            return std::any_of(group.begin(), group.end(), [&](std::size_t w) {
                return std::any_of(purposes_.begin(), purposes_.end(),
                                   [&](const OfPurpose& of) { return info(part_.wanted[w].id).purpose == of.purpose; });
            });
        });
        return groups;
    }

    void settle_groups() {
        std::vector<AdjusterPlace> serving = selection_.turn;
        for (const OfPurpose& of : purposes_)
            if (serves(of.purpose)) serving.insert(serving.end(), of.places.begin(), of.places.end());
        const std::vector<Index> columns = columns_of(serving);
        Span span;
        for (const std::vector<std::size_t>& group : those_with_adjusters_first()) {
            std::vector<Index> rows;
            for (const std::size_t w : group)
                if (part_.wanted[w].asks == Asks::asked) rows.push_back(static_cast<Index>(w));
            if (rows.empty() || span.add(MatrixXd(effect_(rows, columns)).transpose())) continue;
            for (const Index w : rows) {
                Wanted& one = part_.wanted[static_cast<std::size_t>(w)];
                const bool moved = effect_.row(w)(columns).norm() > 0.0;
                one = as_limit(std::move(one));
                part_.notes.push_back(key(one.id) + (moved ? " follows from what is asked beside it: it is a limit."
                                                           : " is moved by nothing that may be turned."));
            }
        }
    }

    /// Rows that ask for adjusters.
    std::vector<Index> asking() const {
        std::vector<Index> rows;
        for (std::size_t w = 0; w < part_.wanted.size(); ++w) {
            const Wanted& one = part_.wanted[w];
            if (one.in_cost() || (one.is_target() && !meets(one.target, one.now)))
                rows.push_back(static_cast<Index>(w));
        }
        return rows;
    }

    /// Whether what a millimetre of one of these does cannot be done by those that are turned, with a few millimetres.
    bool adds_rank(const std::vector<AdjusterPlace>& places, const std::vector<Index>& rows) const {
        const MatrixXd by_turned = per_mm_(rows, columns_of(part_.turned)), more = per_mm_(rows, columns_of(places));
        const Index n = by_turned.cols();
        for (Index i = 0; i < more.cols(); ++i) {
            const double size = more.col(i).norm();
            if (!(size > 0.0)) continue;
            if (n == 0) return true;
            MatrixXd A(more.rows() + n, n);
            A << by_turned, price_of_a_mm * size * MatrixXd::Identity(n, n);
            VectorXd b = VectorXd::Zero(A.rows());
            b.head(more.rows()) = more.col(i);
            if (std::sqrt(triangle(A, b).rest) > adds_by_mm * size) return true;
        }
        return false;
    }

    void settle_purposes() {
        const std::vector<Index> rows = asking();
        const auto enter = [&](const std::vector<AdjusterPlace>& places) { Selection::add(part_.turned, places); };
        for (const OfPurpose& of : purposes_)
            if (serves(of.purpose) && adds_rank(of.places, rows)) enter(of.places);
        enter(selection_.turn);
        for (const auto& [place, setting] : selection_.force) enter({place});
        for (const std::vector<AdjusterPlace>& tie : selection_.tie)
            if (std::any_of(tie.begin(), tie.end(),
                            [&](const AdjusterPlace& one) { return Selection::holds(part_.turned, one); }))
                enter(tie);
        const bool alignment = std::any_of(part_.wanted.begin(), part_.wanted.end(), asks_to_align);
        for (const OfPurpose& of : purposes_)
            if ((alignment || !aligns(of.purpose)) &&
                std::any_of(of.places.begin(), of.places.end(),
                            [&](const AdjusterPlace& place) { return !Selection::holds(part_.turned, place); }))
                part_.held.push_back(of);
        Selection::sort(part_.turned);
    }

    const Car& car_;
    const Measured& measured_;
    const Targets& targets_;
    const Selection& selection_;
    HeldCar& held_;
    std::array<std::vector<double>, corner_count> amounts_mm_;
    HeldCar::State state_;
    Part part_;
    std::vector<std::vector<std::size_t>> groups_;  // places in part_.wanted
    std::vector<OfPurpose> purposes_;
    std::vector<AdjusterPlace> places_;
    MatrixXd per_mm_, effect_;  // of a mm, of a hand step, in tolerances; rows as wanted, columns as places_
};

}  // namespace

Part part_of(const Car& car, const Measured& measured, const Targets& targets, const Selection& selection,
             HeldCar& held) {
    return Chooser(car, measured, targets, selection, held).chosen();
}

}  // namespace shimwise
